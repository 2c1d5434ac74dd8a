"""A shared tablet in a browser: two taps to change places, the lock, wrong codes, labels."""

import pytest
from django.test import Client
from django.utils import timezone
from playwright.sync_api import expect

from distillery.devices import COOKIE, register
from distillery.models import DatedSetting, EmergencyFact, OpenCount, PinTries, RoomLimit
from distillery.pins import set_pin
from ledger.models import Entry
from tests.distillery.pages.conftest import bottled, receive
from tests.world import make_barrels, make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SIZES = pytest.mark.parametrize("size", ["tablet", "upright", "phone"])
MAIN, OTHER, APART = 60, 44, 12  # px: house rule after WCAG 2.2, 2.5.5


@pytest.fixture
def world(transactional_db):
    """The small plant, its people with codes."""
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2")
    receive(world, quantity="2,000 lb")
    for user, code in ((world.owner, "2580"), (world.operator, "7391"), (world.reader, "4826")):
        set_pin(user, code, now=timezone.now())
    return world


@pytest.fixture
def tablet(world, browser_page, live_server):
    """`tablet("phone")` is a page on a tablet of the plant with nobody on it."""

    def make(size="tablet", *, user=None):
        page = browser_page(size, user=user)
        _, cookie = register(world.premises, f"Still house {size}", by="ada")
        page.context.add_cookies([{"name": COOKIE, "value": cookie, "url": live_server.url}])
        return page

    return make


def tap_code(page, code):
    for digit in code:
        page.get_by_role("button", name=digit, exact=True).tap()
    with page.expect_navigation():  # a wrong code looks as the one before it
        page.get_by_role("button", name="Open").tap()


@SIZES
def test_a_tap_on_the_name_and_the_code_change_places(world, tablet, size):
    page = tablet(size)
    page.goto("/book/")
    page.get_by_role("button", name="bo").tap()
    tap_code(page, "7391")
    page.wait_for_url("**/book/")
    expect(page.locator(".person")).to_contain_text("bo")
    page.locator(".person .switch").tap()
    page.get_by_role("button", name="ada").tap()
    tap_code(page, "2580")
    page.wait_for_url("**/book/")
    expect(page.locator(".person")).to_contain_text("ada")


def test_the_keyboard_types_it_too(world, tablet):
    page = tablet()
    page.goto("/")
    page.get_by_role("button", name="bo").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_label("Your code")).to_be_focused()
    page.keyboard.type("7391")
    page.keyboard.press("Enter")
    expect(page.locator(".person")).to_contain_text("bo")


def test_wrong_codes_make_one_wait_and_the_next_name_is_free(world, tablet):
    page = tablet()
    page.goto("/")
    page.get_by_role("button", name="bo").tap()
    for _ in range(6):
        tap_code(page, "9999")
    expect(page.get_by_role("alert")).to_contain_text("Wait 15 min")
    tap_code(page, "7391")
    expect(page.get_by_role("alert")).to_contain_text("Too many wrong codes")
    assert PinTries.objects.get().wrong == 5
    page.get_by_role("button", name="Another name").tap()
    page.get_by_role("button", name="cy").tap()
    tap_code(page, "4826")
    expect(page.locator(".person")).to_contain_text("cy")


def rest(page):
    """As if nobody had touched the tablet for longer than the owner's minutes."""
    from django.contrib.sessions.backends.db import SessionStore

    key = next(one["value"] for one in page.context.cookies() if one["name"] == "sessionid")
    session = SessionStore(key)
    session["seen"] = timezone.now().timestamp() - 11 * 60
    session.save()


@pytest.mark.parametrize("size", ["tablet", "phone"])
def test_a_form_being_filled_outlasts_the_lock_and_is_set_aside_for_its_person(
    world, tablet, axe, console_errors, size
):
    page = tablet(size)
    page.goto("/record/receive-material/?vessel=BIN-1&material=CORN&supplier=A+farm")
    page.get_by_role("button", name="bo").tap()
    tap_code(page, "7391")
    page.wait_for_url("**/record/receive-material/**")
    page.evaluate("localStorage.setItem('cards:all', 'yes')")
    page.reload()
    page.locator("#id_quantity").fill("150 lb")
    key = page.locator("main input[name=key]").first.get_attribute("value")
    page.get_by_role("button", name="Look it over").last.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("look it over")
    rest(page)
    page.get_by_role("button", name="Record it").click()
    expect(page.get_by_text("What you filled in is kept")).to_be_visible()
    page.get_by_role("button", name="ada").tap()
    tap_code(page, "2580")
    # Another person is asked, and sees what it is.
    expect(page.get_by_text("bo filled this in on")).to_be_visible()
    expect(page.get_by_text("150 lb")).to_be_visible()
    expect(page.get_by_role("button", name="Record it as ada")).to_be_visible()
    assert console_errors == []
    assert [one for one in sizes_of(page) if min(one[1:]) < OTHER - 0.5] == []
    wide = "document.documentElement.scrollWidth > window.innerWidth"
    assert not page.evaluate(wide)
    assert axe(page) == []
    console_errors.clear()  # the scan adds a style of its own, which our policy blocks
    page.get_by_role("button", name="Set it aside for bo").tap()
    expect(page.get_by_text("Set aside for bo. It is shown here when bo unlocks.")).to_be_visible()
    assert not Entry.objects.filter(key=key).exists()
    # It is shown to its person, and goes on under their name.
    page.locator(".person .switch").tap()
    page.get_by_role("button", name="bo").tap()
    tap_code(page, "7391")
    expect(page.get_by_text("You filled this in on")).to_be_visible()
    page.get_by_role("button", name="Go on with it").tap()
    page.wait_for_url("**/book/**")
    entry = Entry.objects.get(key=key)
    assert entry.by == "bo"
    assert f'"tablet": "Still house {size}"' in entry.form


def test_back_does_not_send_a_form_without_a_key_again(world, tablet):
    page = tablet()
    page.goto("/counts/")
    page.get_by_role("button", name="bo").tap()
    tap_code(page, "7391")
    expect(page.get_by_role("button", name="Open the count")).to_be_visible()
    rest(page)
    page.get_by_role("button", name="Open the count").click()
    expect(page.get_by_text("What you filled in is kept")).to_be_visible()
    kept = page.locator("main input[name=kept]").first.get_attribute("value")
    page.get_by_role("button", name="bo").tap()
    tap_code(page, "7391")
    page.wait_for_url("**/counts/1/")
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    # What the browser holds of the page before is the same signed name.
    page.goto(f"/who/kept/?kept={kept}")
    expect(page.get_by_role("heading", name="Sent already")).to_be_visible()
    page.get_by_role("link", name="See what came of it").tap()
    page.wait_for_url("**/counts/1/")
    assert OpenCount.objects.count() == 1


def test_going_back_shows_nothing_of_the_person_before(world, tablet, live_server):
    page = tablet(user=world.operator)
    page.goto("/record/receive-material/?vessel=BIN-1")
    expect(page.locator(".person")).to_contain_text("bo")
    ada = Client()
    ada.force_login(world.owner)
    key = {"name": "sessionid", "value": ada.cookies["sessionid"].value, "url": live_server.url}
    page.context.add_cookies([key])
    page.goto("/book/")
    expect(page.locator(".person")).to_contain_text("ada")
    page.go_back()
    page.wait_for_url("**/record/receive-material/**")
    expect(page.locator(".person")).to_contain_text("ada")


def test_an_untouched_page_locks_by_itself_and_a_form_does_not(world, tablet):
    DatedSetting.objects.create(
        premises=world.premises, name="lock_minutes", value="1", effective="2026-01-01"
    )
    page = tablet(user=world.operator)
    page.clock.install()
    page.goto("/record/receive-material/")
    page.clock.fast_forward("05:00")
    page.wait_for_timeout(300)
    assert page.url.endswith("/record/receive-material/")
    page.goto("/book/")
    page.clock.fast_forward("05:00")
    page.wait_for_url("**/who/**")
    expect(page.get_by_role("heading", name="Who are you?")).to_be_visible()


def test_closing_a_month_asks_for_the_password(world, tablet):
    page = tablet()
    page.goto("/tablets/")
    page.get_by_role("button", name="ada").tap()
    tap_code(page, "2580")
    page.get_by_role("button", name="End Still house tablet").click()
    expect(page.get_by_role("heading", name="Your password, for this")).to_be_visible()
    page.get_by_label("Password").fill("ada-of-marram")
    page.get_by_role("button", name="Go on").click()
    page.wait_for_url("**/log-in/**")  # the tablet is none any more, and its code opens nothing


def sizes_of(page):
    """(text, width, height) of everything that is touched in the main part."""
    return page.evaluate(
        """() => [...document.querySelectorAll('main button, main a.button, main summary')]
        .filter(e => e.offsetParent && !e.classList.contains('visually-hidden'))
        .map(e => [e.innerText, e.getBoundingClientRect()])
        .map(([text, box]) => [text, box.width, box.height])"""
    )


@SIZES
def test_a_scan_finds_nothing_and_every_target_is_large(world, tablet, axe, console_errors, size):
    bottled(world)
    EmergencyFact.objects.create(premises=world.premises, what="Poison", told="1-800-555-0100")
    RoomLimit.objects.create(
        premises=world.premises, room="Still house", what="spirits in tanks", limit="as posted",
        given_by="fire marshal (invented)", given_on="2026-01-01",
    )  # fmt: skip
    page = tablet(size)
    found = []

    def look(name):
        assert console_errors == []
        wide = page.evaluate("document.documentElement.scrollWidth > window.innerWidth")
        assert not wide, name
        found.extend(f"{name}: {one}" for one in axe(page))
        console_errors.clear()  # the scan adds a style of its own, which our policy blocks
        found.extend(f"{name}: {one}" for one in sizes_of(page) if min(one[1:]) < OTHER - 0.5)

    page.goto("/who/")
    look("names")
    assert (
        min(height for text, _, height in sizes_of(page) if text[:2] in ("ad", "bo", "cy")) >= MAIN
    )
    page.get_by_role("button", name="bo").tap()
    expect(page.get_by_label("Your code")).to_be_focused()
    look("keys")
    assert min(height for text, _, height in sizes_of(page) if text in "0123456789") >= MAIN
    tap_code(page, "9999")
    expect(page.get_by_role("alert")).to_be_visible()
    look("wrong code")
    page.goto("/emergency/")
    look("emergency")
    page.goto("/who/")
    page.get_by_role("button", name="ada").tap()
    tap_code(page, "2580")
    expect(page.locator(".person")).to_contain_text("ada")
    for path in (
        "/tablets/", "/who/code/", "/who/password/", "/labels/", "/labels/?bottling=BR-3",
        "/labels/?codes=NO", "/book/", "/book/2/",
    ):  # fmt: skip
        page.goto(path)
        look(path)
    page.goto("/who/code/")
    page.get_by_role("button", name="Set the code").click()
    expect(page.get_by_role("alert")).to_be_visible()
    look("code refused")
    assert found == []
