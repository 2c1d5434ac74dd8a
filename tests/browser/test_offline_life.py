"""What befalls a tablet whose records wait: a new version, another person, a lost log-in."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import expect

from ledger.closing import close
from ledger.models import Entry
from tests.browser.offline_tablet import KEPT, Tablet, new_context, send_now
from tests.browser.test_offline import suppliers
from tests.browser.wire import wired
from tests.world import World, make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SHELLS = "async () => (await caches.keys()).filter(name => name.startsWith('shell-'))"
WHOSE = """async () => { const pages = await caches.open('pages');
  const floor = await pages.match('/');
  return floor ? (await floor.text()).match(/data-person="([^"]*)"/)[1] : '' }"""
EACH = """async () => { const pages = await caches.open('pages'), whose = new Set();
  for (const one of await pages.keys()) {
    const text = await (await pages.match(one)).text();
    if (text.includes('data-person=')) whose.add(text.match(/data-person="([^"]*)"/)[1]);
  }
  return [...whose].sort(); }"""
# What can be touched and is lower than 44 CSS pixels (WCAG 2.2, success criterion 2.5.5).
TOO_SMALL = """[...document.querySelectorAll('a,button,input,select,textarea,summary')]
  .filter(one => !one.closest('.visually-hidden, .skip, label'))
  .filter(one => { const box = one.getBoundingClientRect();
                   return box.width && box.height && box.height < 44 })
  .map(one => one.outerHTML.slice(0, 90))"""
OVERFLOW = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.fixture
def world(transactional_db) -> World:
    return make_world()


@pytest.fixture
def tablet(world, chromium, live_server, request) -> Iterator[Tablet]:
    """Ada's tablet, its pages kept."""
    with wired(live_server.url) as wire:
        tablet = Tablet(new_context(chromium, getattr(request, "param", "tablet")), wire)
        tablet.be(world.owner)
        tablet.keep_pages("receive-material", "mash")
        yield tablet
        tablet.context.close()
    assert tablet.complaints == []


def test_a_new_version_and_another_person_lose_nothing(world, tablet, settings, tmp_path):
    page = tablet.page
    tablet.wire.cut()
    tablet.receive("Before the new version")
    tablet.kept()
    tablet.be(world.operator)
    tablet.wire.mend()
    # A later version of the app: one of its files differs.
    folder = tmp_path / "distillery" / "tablet"
    folder.mkdir(parents=True)
    (folder / "tablet.css").write_text(".tablet-strip { padding: 8px; }")
    before = page.evaluate(SHELLS)
    settings.STATICFILES_DIRS = [tmp_path]
    tablet.open("/")
    after = tablet.until(SHELLS, lambda names: len(names) == 1 and names != before)
    assert len(after) == 1
    # It is ada's: bo does not send it, and sees that it waits for her; her pages are gone.
    expect(page.locator("#tablet")).to_contain_text("1 record waits on this tablet.")
    expect(page.locator("#tablet")).to_contain_text("Made by ada, who logs in to send.")
    assert tablet.until(WHOSE, lambda whose: whose == "bo") == "bo"
    assert Entry.objects.count() == 0
    tablet.be(world.owner)
    tablet.open("/tablet/waiting/")
    tablet.sent()
    assert suppliers("ada") == ["Before the new version"]


def test_who_takes_the_tablet_while_pages_are_fetched_gets_their_own(world, tablet):
    """The job for the one before is not finished: it stops, and the next person's follows."""
    tablet.be(world.operator)
    tablet.open("/")
    tablet.until(WHOSE, lambda whose: whose == "bo")
    tablet.be(world.owner)
    tablet.open("/")
    tablet.until(WHOSE, lambda whose: whose == "ada")
    tablet.until(KEPT, lambda kept: {"/record/mash/", "/record/void-reading/"} <= set(kept))
    assert tablet.page.evaluate(EACH) == ["ada"]


def test_a_lost_log_in_keeps_the_line_and_asks_to_log_in(world, tablet):
    page = tablet.page
    tablet.wire.cut()
    tablet.receive("While nobody was logged in")
    tablet.kept()
    tablet.be(None)
    tablet.wire.mend()
    tablet.open("/")
    expect(page.locator("#tablet")).to_contain_text("Log in to send them.")
    page.get_by_label("Name").fill("ada")
    page.get_by_label("Password").fill("ada-of-marram")
    page.locator("main").get_by_role("button", name="Log in").click()
    expect(page.get_by_role("heading", name="Floor", level=1)).to_be_visible()
    tablet.until("async () => (await Tablet.store.line()).length", lambda left: left == 0)
    assert suppliers("ada") == ["While nobody was logged in"]


def test_logging_out_waits_for_what_is_not_sent(world, tablet):
    page = tablet.page
    tablet.wire.cut()
    tablet.receive("Before the log-out")
    tablet.kept()
    tablet.open("/")
    page.get_by_role("button", name="Log out").click()
    expect(page.get_by_role("heading", name="Not logged out")).to_be_visible()
    expect(page.get_by_text("1 record of yours waits on this tablet.")).to_be_visible()
    expect(page.get_by_role("button", name="Log out now")).to_be_hidden()
    with page.expect_download():
        page.get_by_role("button", name="Save to a file").click()
    tablet.wire.mend()
    tablet.page.route("**/tablet/send/", lambda route: route.abort())
    page.get_by_role("button", name="Log out now").click()
    expect(page.get_by_role("heading", name="Log in", level=1)).to_be_visible()
    assert len(tablet.line()) == 1
    assert tablet.until(KEPT, lambda kept: kept == []) == []


def test_storage_that_is_full_is_said_in_words(world, tablet):
    page = tablet.page
    devtools = tablet.context.new_cdp_session(page)
    told = {"origin": tablet.wire.url, "quotaSize": 1}
    tablet.open("/record/receive-material/?vessel=BIN-1")
    devtools.send("Storage.overrideQuotaForOrigin", told)
    tablet.wire.cut()
    tablet.receive("No room")
    expect(page.locator("#tablet")).to_contain_text("This tablet's storage is full")
    expect(page.locator("#id_supplier")).to_have_value("No room")
    assert tablet.line() == []
    # With network the book still takes it, straight away.
    tablet.wire.mend()
    tablet.receive("With network")
    expect(page.get_by_role("heading", level=1)).to_contain_text("look it over")


@pytest.mark.parametrize("tablet", ["tablet", "upright", "phone"], indirect=True)
def test_the_waiting_page_is_for_everybody(world, tablet, axe, tmp_path):
    """Empty, full and with what needs a look: readable, touchable, and clean under the scan."""
    page = tablet.page

    def fits() -> None:
        assert axe(page) == []
        assert page.evaluate(OVERFLOW) == 0
        assert page.evaluate(TOO_SMALL) == []

    tablet.open("/tablet/waiting/")
    expect(page.get_by_text("Nothing waits on this tablet.")).to_be_visible()
    fits()
    close(world.premises, world.when("2026-01-01 00:00").date(), by="ada")
    tablet.wire.cut()
    tablet.open("/record/mash/")
    expect(page.locator("#tablet")).to_contain_text("as they were kept")
    fits()
    tablet.open("/book/")
    expect(page.get_by_role("heading", name="No network")).to_be_visible()
    fits()
    with page.expect_navigation():
        page.get_by_role("link", name="Try again").click()
    expect(page.get_by_role("heading", name="No network")).to_be_visible()
    page.get_by_role("link", name="Emergency").click()
    expect(page.get_by_role("heading", name="Emergency", level=1)).to_be_visible()
    tablet.receive("Of a closed month", at="2026-01-20T09:00")
    tablet.kept()
    tablet.receive("")
    tablet.kept()
    fits()
    tablet.wire.mend()
    send_now(page)
    expect(page.get_by_text("it belongs to a closed month")).to_be_visible()
    expect(page.get_by_text("January 2026 is closed.")).to_be_visible()
    expect(page.get_by_text("Supplier: This field is required.")).to_be_visible()
    fits()
    page.locator("summary").first.click()
    fits()
    page.get_by_role("link", name="Mend it").first.click()
    expect(page.get_by_text("What the book said")).to_be_visible()
    fits()
    # In its own form the book asks where a late record is booked, and it is taken from there.
    tablet.look_over()
    page.get_by_label("the open month, with an explanation").check()
    page.get_by_label("Why").fill("The tablet had no network.")
    tablet.look_over()
    expect(page.get_by_role("heading", level=1)).to_contain_text("look it over")
    page.get_by_role("button", name="Record it").click()
    tablet.until("async () => (await Tablet.store.line()).length", lambda left: left == 1)
    assert suppliers("ada") == ["Of a closed month"]
    assert [state for state, _ in tablet.line()] == ["look"]
