"""The states of a page that no address shows, measured as every page is.

The pad open, what is asked, what was recorded and may be undone, what waits on the tablet, a
month that is closed, who is at the tablet; and each card of each form.
"""

from collections.abc import Callable

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from distillery.devices import COOKIE, register
from distillery.operations import operations
from distillery.pins import set_pin
from tests.browser.conftest import SIZES, _session_cookie, until
from tests.browser.every_page import full_world
from tests.browser.rendered import bring, found, looked_over
from tests.world import World

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
READING = "/record/ferment-reading/?vessel=FV-1"
CORN = "/record/receive-material/?vessel=BIN-2&material=CORN&quantity=9+lb&supplier=Dune"
MORE_THAN_IT_HOLDS = "/record/transfer/?vessel=S-2&to=P-1&volume=900+gal"
# What the browser and the library say by themselves of a network that is cut off.
NO_NETWORK = ("net::ERR_INTERNET_DISCONNECTED", "htmx:sendError")
# The tablet's own way of keeping what the book did not take, without leaving the page.
KEEP = """async () => {
  const [record] = await Tablet.keeping.keepAll(document.getElementById('sheet'), 'confirm')
  await Tablet.store.put(Tablet.keeping.waitingOf(record))
}"""


def at(page: Page, path: str, heading: str) -> None:
    """A page of that heading, its scripts begun."""
    page.goto(path)
    expect(page.get_by_role("heading", level=1)).to_contain_text(heading)
    page.wait_for_load_state()


def pad(page: Page, box: str) -> None:
    """The pad at a box that was touched."""
    page.locator(box).tap()
    expect(page.get_by_role("group", name="Number pad")).to_be_visible()


def pad_with_units(page: Page) -> None:
    at(page, READING, "Note a reading")
    pad(page, "#id_gravity")


def pad_on_a_run(page: Page) -> None:
    at(page, "/runs/RUN-1/", "Run RUN-1")
    pad(page, "#id_temperature")


def pad_in_a_row(page: Page) -> None:
    at(page, "/fill/", "Fill barrels")
    pad(page, "#id_new-gross")


def look_over(page: Page) -> None:
    page.get_by_role("button", name="Look it over").last.tap()
    expect(page.get_by_role("heading", level=1)).to_contain_text("look it over")
    page.wait_for_load_state()


def questions(page: Page) -> None:
    at(page, MORE_THAN_IT_HOLDS, "Move")
    look_over(page)
    expect(page.get_by_role("checkbox").first).to_be_visible()


def questions_not_answered(page: Page) -> None:
    questions(page)
    page.get_by_role("button", name="Record it").tap()
    expect(page.get_by_role("alert")).to_contain_text("Not recorded yet")
    page.wait_for_load_state()


def recorded(page: Page) -> None:
    at(page, CORN, "Receive a material")
    look_over(page)
    page.get_by_role("button", name="Record it").tap()
    expect(page.get_by_role("button", name="Undo №")).to_be_visible()
    page.wait_for_load_state()


def reading_kept(page: Page) -> None:
    at(page, READING, "Note a reading")
    page.locator("#id_gravity").fill("1.024")
    page.get_by_role("button", name="Record it").last.tap()
    expect(page.get_by_role("button", name="Undo the reading of FV-1")).to_be_visible()
    page.wait_for_load_state()


def reading_asked(page: Page) -> None:
    at(page, READING, "Note a reading")
    page.locator("#id_gravity").fill("1.2")
    page.get_by_role("button", name="Record it").last.tap()
    expect(page.get_by_role("alert")).to_contain_text("usually lies between")
    page.wait_for_load_state()


def closed_month(page: Page) -> None:
    at(page, f"{CORN}&at=2026-01-20T10:00", "Receive a material")
    page.get_by_role("button", name="Look it over").last.tap()
    expect(page.get_by_role("alert")).to_contain_text("January 2026 is closed.")
    page.wait_for_load_state()


def taken_up_again(page: Page) -> None:
    at(page, "/record/receive-material/", "Receive a material")
    page.locator("#id_quantity").fill("150 kg")
    until(page, "() => Object.keys(localStorage).some(one => one.startsWith('draft:'))")
    page.reload()
    expect(page.get_by_text("Filled in from what was left here")).to_be_visible()
    page.wait_for_load_state()


def waits(page: Page) -> None:
    """Without network, on the form that it was made on."""
    at(page, "/record/receive-material/?vessel=BIN-2", "Receive a material")
    page.context.set_offline(True)
    page.evaluate(KEEP)
    expect(page.locator("#tablet")).to_contain_text("1 record waits on this tablet.")


def needs_a_look(page: Page) -> None:
    """The same, once the book said what is wrong with it."""
    page.context.set_offline(False)
    at(page, "/tablet/waiting/", "Waiting on this tablet")
    expect(page.locator("#tablet")).to_contain_text("needs a look")
    expect(page.get_by_role("link", name="Mend it")).to_be_visible()


def mended(page: Page) -> None:
    """Its form again, with what the book said beside it."""
    page.get_by_role("link", name="Mend it").tap()
    expect(page.get_by_text("What the book said")).to_be_visible()
    page.wait_for_load_state()


def names(page: Page) -> None:
    at(page, "/who/", "Who are you")


def code(page: Page) -> None:
    names(page)
    page.get_by_role("button", name="bo").tap()
    expect(page.get_by_role("group", name="Digits")).to_be_visible()


def wrong_code(page: Page) -> None:
    code(page)
    page.keyboard.type("0000")
    page.get_by_role("button", name="Open").tap()
    expect(page.get_by_role("alert")).to_be_visible()
    expect(page.get_by_role("group", name="Digits")).to_be_visible()


# In this order: what waits is mended after it was sent, and who is there comes last.
STATES: tuple[Callable[[Page], None], ...] = (
    pad_with_units, pad_on_a_run, pad_in_a_row, questions, questions_not_answered, recorded,
    reading_kept, reading_asked, closed_month, taken_up_again, waits, needs_a_look, mended,
    names, code, wrong_code,
)  # fmt: skip


@pytest.fixture
def world(transactional_db) -> World:
    world = full_world()
    set_pin(world.operator, "7391", now=timezone.now())
    return world


def on_our_tablet(page: Page, world: World, url: str) -> None:
    """A tablet of the plant, with the owner at it."""
    _, cookie = register(world.premises, "Still house", by="ada")
    page.context.add_cookies([{"name": COOKIE, "value": cookie, "url": url}])
    page.context.add_cookies([_session_cookie(user=world.owner, url=url)])


@pytest.mark.parametrize("size", list(SIZES))
def test_every_state_holds(world, browser_page, axe, console_errors, live_server, size):
    page = browser_page(size)
    bring(page)
    on_our_tablet(page, world, live_server.url)
    lines = []
    for state in STATES:
        state(page)
        told = [*axe(page), *looked_over(page, console_errors)]
        told = [one for one in told if not any(words in one for words in NO_NETWORK)]
        lines += [f"{state.__name__}: {one}" for one in told]
    assert lines == []


@pytest.mark.parametrize("size", ["tablet", "phone"])
def test_each_card_of_each_form_holds(world, browser_page, console_errors, size):
    page = browser_page(size, user=world.owner)
    bring(page, is_whole=False)
    page.emulate_media(reduced_motion="reduce")
    lines = []
    for slug in operations():
        page.goto(f"/record/{slug}/")
        lines += [f"{slug} {one}" for one in found(page, ["cards"])]
    assert lines == []
