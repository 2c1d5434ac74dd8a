"""Each operation by hand: from the floor by touch to the page of what was recorded."""

from collections.abc import Iterator
from json import loads

import pytest
from playwright.sync_api import Browser, Page, expect

from distillery.devices import COOKIE, register
from distillery.models import BottleCheck, Reading, ReadingVoid
from distillery.operations import operations
from distillery.people import may_record
from ledger.models import Entry
from tests.browser.by_touch import Hand
from tests.browser.conftest import SIZES, _note, _session_cookie
from tests.browser.taken_now import plausible
from tests.browser.test_a_record_by_hand import OVERFLOW, TOO_SMALL
from tests.browser.test_recording_by_touch import shot
from tests.distillery.sequences.acts import ACTS
from tests.distillery.sequences.plant import begun
from tests.world import World

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
# An operator takes back only what they recorded themselves today, and the owner began the plant.
TAKES_BACK = {"reverse", "void-reading", "cancel-invoice"}


@pytest.fixture(scope="module")
def tablets(chromium: Browser, live_server) -> Iterator[dict[str, Page]]:
    """One tablet of each size for all acts: a page opened anew for each would cost most of the
    time. What a page complains of is added to its ``errors``."""
    pages = {size: _tablet(chromium, live_server.url, *wide) for size, wide in SIZES.items()}
    yield pages
    for page in pages.values():
        page.context.close()


def _tablet(chromium: Browser, url: str, width: int, height: int) -> Page:
    context = chromium.new_context(
        base_url=url, viewport={"width": width, "height": height}, has_touch=True,
        service_workers="block",
    )  # fmt: skip
    context.set_default_timeout(60_000)  # on a machine that has much to do
    page = context.new_page()
    page.errors = []
    page.on("console", lambda message: _note(message, into=page.errors))
    page.on("pageerror", lambda error: page.errors.append(str(error)))
    return page


@pytest.fixture
def world(transactional_db) -> World:
    """Something in every account, a run in each still, an open bottling."""
    return begun()


def vessel_of(slug: str, fields: dict) -> str:
    """The code that *fields* give where the operation takes its vessel; "" for none."""
    outer, _, inner = operations()[slug].vessel_field.partition("-")
    value = fields.get(outer, "") if outer else ""
    if isinstance(value, list):
        value = value[0]
    return str(value[inner] if isinstance(value, dict) else value)


def reach(hand: Hand, slug: str, code: str, size: str) -> None:
    """By the vessel's card, by the picture, or by the list: another way at each size."""
    way = {"tablet": hand.by_the_vessel, "phone": hand.by_the_picture}.get(size)
    if not (way and code and way(slug, code)):
        hand.by_the_list(operations()[slug].title)
    expect(hand.page.get_by_role("heading", level=1)).to_have_text(operations()[slug].title)


def fits(page: Page) -> None:
    """Nothing to scroll sideways, nothing too small to touch."""
    assert page.evaluate(OVERFLOW) == 0
    assert page.evaluate(TOO_SMALL) == []


def check_entry(world: World, slug: str, page: Page, before: set[int], *, by: str, on: str) -> None:
    """One entry more, of this act, by this person on this tablet, and its number on the page."""
    new = [one for one in Entry.objects.order_by("number") if one.number not in before]
    assert [one.operation for one in new] == [slug]
    expect(page.get_by_role("heading", level=1)).to_contain_text(f"№ {new[0].number} ")
    expect(page.locator(".done .acts .main")).not_to_have_text("Go to the floor")
    assert new[0].by == by
    assert loads(new[0].form)["tablet"] == on


def kept() -> set[tuple[str, int]]:
    """Readings, their voids and checks of bottles, which are no entries."""
    return {(type(row).__name__, row.pk) for model in (Reading, ReadingVoid, BottleCheck)
            for row in model.objects.all()}  # fmt: skip


def taken_up(page: Page, size: str, world: World, person, url: str) -> str:
    """The tablet of that size, registered, with *person* logged in; its name."""
    name = f"Tablet {size}"
    _, cookie = register(world.premises, name, by="ada")
    page.context.clear_cookies()
    page.context.add_cookies(
        [{"name": COOKIE, "value": cookie, "url": url}, _session_cookie(user=person, url=url)]
    )
    return name


@pytest.mark.parametrize("slug", sorted(operations()))
def test_it_is_recorded_from_the_floor_at_every_size(world, tablets, live_server, slug):
    assert slug in ACTS, f"“{slug}” is new: give it a row in tests/distillery/sequences/acts*.py"
    operation = operations()[slug]
    is_hers = slug in TAKES_BACK or not may_record("operator", operation)
    person = world.owner if is_hers else world.operator
    for turn, (size, page) in enumerate(tablets.items()):
        on = taken_up(page, size, world, person, live_server.url)
        fields = plausible(world, slug, turn)
        before, readings = set(Entry.objects.values_list("number", flat=True)), kept()
        hand = Hand(page, by_pad=size == "phone")
        reach(hand, slug, vessel_of(slug, fields), size)
        shot(page, f"{slug}-{size}-open")
        hand.fill(fields)
        fits(page)
        shot(page, f"{slug}-{size}-filled", full=False)
        hand.look_over()
        hand.answer()
        fits(page)
        shot(page, f"{slug}-{size}-done", full=False)
        if operation.is_book:
            check_entry(world, slug, page, before, by=person.username, on=on)
        else:
            assert len(kept() - readings) == 1
        page.goto("about:blank")  # nothing asks the book meanwhile
        assert page.errors == []
