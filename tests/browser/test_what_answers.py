"""What waits on a tablet against all that may answer it: the book, a proxy, a portal, nobody.

The worker is left out here: `test_offline.py` is about it. What must hold: nothing but the book's
own word takes a record off the tablet, and each lands once (common practice, no source).
"""

import json
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from distillery.models import Membership, TabletRecord
from ledger.closing import close
from ledger.models import Entry, Vessel
from tests.browser.offline_tablet import send_now
from tests.browser.test_offline import suppliers
from tests.world import World, make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
HERE, SEND = "**/tablet/here/", "**/tablet/send/"
# What a Wi-Fi log-in page answers, with 200, to whatever is asked (invented).
PORTAL = "<!doctype html><html><body><h1>Welcome to the guest network</h1></body></html>"
PUT = """async (rows) => {
  for (const row of rows) await Tablet.store.put({
    state: 'waiting', since: Date.now(), device: await Tablet.store.device(), tablet: '',
    made_at: Tablet.words.stamp(), registry: 'DSP-XX-00000', operation: 'receive-material',
    title: 'Receive material', told: [['Supplier', row.supplier]], by: row.by, key: row.key,
    fields: Object.entries({ at: '2026-01-06T09:00', material: 'CORN', quantity: '10 lb',
      vessel: 'BIN-1', supplier: row.supplier, ...row.more }),
  });
}"""
FAILS = "(await Tablet.store.line())[0].fails"
LINE = "async () => (await Tablet.store.line()).map(one => one.state)"


@pytest.fixture
def world(transactional_db) -> World:
    return make_world()


@pytest.fixture
def tablet(world, browser_page, console_errors):
    """Ada's page of what waits, without the worker."""
    page = browser_page("tablet", user=world.owner)
    page.goto("/tablet/waiting/")
    expect(page.get_by_text("Nothing waits on this tablet.")).to_be_visible()
    yield page
    # The browser itself says of each answer of 400 and more that it failed.
    console_errors[:] = [one for one in console_errors if "Failed to load resource" not in one]


def wait(page: Page, *names: str, by: str = "ada", **more: str) -> None:
    """Records of *names* as suppliers, confirmed on the tablet and not sent."""
    rows = [{"supplier": one, "by": by, "key": f"key of {one}", "more": more} for one in names]
    page.evaluate(PUT, rows)
    expect(page.get_by_text("Nothing waits on this tablet.")).to_be_hidden()


def strip(page: Page, words: str) -> None:
    expect(page.locator("#tablet")).to_contain_text(words)


def sent(page: Page) -> None:
    expect(page.get_by_text("Nothing waits on this tablet.")).to_be_visible(timeout=120_000)


def answer(status: int, body: str, kind: str = "text/html") -> Callable[[Route], Any]:
    return lambda route: route.fulfill(status=status, body=body, content_type=kind)


@pytest.mark.parametrize("path", [HERE, SEND], ids=["asked who is here", "sent"])
def test_a_portal_is_never_taken_for_the_book(tablet, path):
    wait(tablet, "Behind the portal")
    tablet.route(path, answer(200, PORTAL))
    send_now(tablet)
    strip(tablet, "This network answers in place of the book")
    assert tablet.evaluate(LINE) == ["waiting"]
    tablet.unroute(path)
    tablet.route(path, answer(200, "{}", "application/json"))  # JSON, and no answer of ours
    send_now(tablet)
    strip(tablet, "This network answers in place of the book")
    assert tablet.evaluate(LINE) == ["waiting"]
    assert not TabletRecord.objects.exists()
    tablet.unroute(path)
    send_now(tablet)
    sent(tablet)
    assert suppliers("ada") == ["Behind the portal"]


def test_a_proxy_without_the_book_behind_it_is_no_network(tablet):
    """502, 503 and 504 come from what stands before the server (RFC 9110, 15.6.3 to 15.6.5)."""
    wait(tablet, "One", "Two")
    for status in (502, 503, 504, 502):  # more often than a broken book is asked again
        tablet.route(SEND, answer(status, "<html><h1>Bad gateway</h1></html>"))
        with tablet.expect_response(SEND):
            send_now(tablet)
        strip(tablet, "No network: they are sent when it is back.")
        assert tablet.evaluate(LINE) == ["waiting", "waiting"]
        tablet.unroute(SEND)
    send_now(tablet)
    sent(tablet)
    assert suppliers("ada") == ["One", "Two"]


def test_a_record_that_breaks_the_book_lets_the_next_ones_by(tablet):
    """RFC 9110, 15.6.1: 500 is the server's own fault; it is asked three times."""
    wait(tablet, "Breaks", "Does not")

    def break_it(route: Route) -> None:
        if "key of Breaks" in route.request.post_data:
            route.fulfill(status=500, body="<html>broken</html>", content_type="text/html")
        else:
            route.fallback()

    tablet.route(SEND, break_it)
    for asked in (1, 2):
        send_now(tablet)
        expect(tablet.locator("#tablet")).to_contain_text("The book does not answer as it should")
        tablet.wait_for_function(f"async () => {FAILS} === {asked}")
        assert tablet.evaluate(LINE) == ["waiting", "waiting"]
    send_now(tablet)
    expect(tablet.get_by_text("The book failed on this record. It is kept here")).to_be_visible()
    tablet.unroute(SEND)
    expect(tablet.locator(".waiting-record")).to_have_count(1)
    assert suppliers("ada") == ["Does not"]
    tablet.get_by_role("button", name="Send again").click()
    sent(tablet)
    assert suppliers("ada") == ["Does not", "Breaks"]


def test_an_answer_that_never_comes_is_asked_for_again_with_the_same_key(tablet):
    """It arrives and the answer is held back: after 20 seconds it waits, then it is already had."""
    wait(tablet, "Slow")
    held = []

    def hold(route: Route) -> None:
        held.append(route.fetch().json())

    tablet.route(SEND, hold)
    send_now(tablet)
    expect(tablet.locator("#tablet")).to_contain_text("slow to answer", timeout=60_000)
    assert tablet.evaluate(LINE) == ["waiting"]
    for _ in range(300):  # the book may be at it still
        if held:
            break
        tablet.wait_for_timeout(200)
    assert held[0]["answer"] == "taken"
    tablet.unroute(SEND)
    with tablet.expect_response(SEND, timeout=90_000) as again:
        send_now(tablet)
    assert again.value.json()["answer"] == "had"
    sent(tablet)
    assert suppliers("ada") == ["Slow"]


def test_two_pages_of_one_tablet_send_each_record_once_in_order(tablet):
    other = tablet.context.new_page()
    other.goto("/tablet/waiting/")
    tablet.context.route(HERE, lambda route: route.abort())
    names = [f"Farm {number}" for number in range(12)]
    posted = []
    for page in (tablet, other):
        page.on("request", lambda one: posted.append(one.url) if one.method == "POST" else None)
    wait(tablet, *names)
    expect(other.locator(".waiting-record")).to_have_count(12)
    tablet.context.unroute(HERE)
    send_now(tablet)
    send_now(other)
    sent(tablet)
    sent(other)
    assert suppliers("ada") == names
    assert len(posted) < 2 * 12  # not each by both; one may be asked for again on a slow machine


def test_two_hundred_records_land_once_in_order(tablet):
    names = [f"Field {number}" for number in range(200)]
    tablet.route(HERE, lambda route: route.abort())
    wait(tablet, *names)
    expect(tablet.locator(".waiting-record")).to_have_count(200)
    strip(tablet, "200 records wait on this tablet.")
    tablet.unroute(HERE)
    send_now(tablet)
    expect(tablet.get_by_text("Nothing waits on this tablet.")).to_be_visible(timeout=600_000)
    assert suppliers("ada") == names


def test_markup_in_a_record_stays_text(tablet):
    """What a person typed, and what the book says of it, is never run (OWASP ASVS, output)."""
    bad = "<img src=x onerror=\"document.title='taken over'\"><b>bold</b>"
    wait(tablet, bad, material="<b>bold</b>")
    expect(tablet.locator(".waiting-record")).to_contain_text(bad)
    send_now(tablet)
    strip(tablet, "1 needs a look")
    expect(tablet.locator(".said")).to_contain_text("<b>bold</b>")
    assert tablet.locator("#waiting img, #waiting b, #tablet img").count() == 0
    tablet.get_by_role("link", name="Mend it").click()
    expect(tablet.get_by_text("What the book said")).to_be_visible()
    expect(tablet.locator("#id_supplier")).to_have_value(bad)
    assert tablet.locator("main img, .problem b").count() == 0
    assert "taken over" not in tablet.title()


def test_what_changed_meanwhile_is_said(world, tablet):
    """A month closed, a vessel taken off: each record says which, and the others go on."""
    close(world.premises, world.when("2026-01-01 00:00").date(), by="ada")
    Vessel.objects.filter(code="BIN-2").delete()
    wait(tablet, "Of January")
    wait(tablet, "Of BIN-2", vessel="BIN-2", at="2026-02-03T09:00")
    wait(tablet, "Of February", at="2026-02-03T10:00")
    send_now(tablet)
    strip(tablet, "2 need a look")
    expect(tablet.get_by_text("Needs a look: it belongs to a closed month.")).to_be_visible()
    expect(tablet.get_by_text("January 2026 is closed.")).to_be_visible()
    expect(tablet.locator(".said").last).to_contain_text("BIN-2")
    assert suppliers("ada") == ["Of February"]


@pytest.mark.parametrize(("hours", "words"), [(25, "25 hours ahead of"), (-1, "60 minutes behind")])
def test_a_changed_clock_is_said_and_asked_about(world, tablet, hours, words):
    tablet.evaluate(
        """ms => { const Real = Date; window.Date = class extends Real {
            constructor(...given) { given.length ? super(...given) : super(Real.now() + ms); }
            static now() { return Real.now() + ms; } } }""",
        hours * 3_600_000,
    )
    wait(tablet, "By a wrong clock")
    send_now(tablet)
    strip(tablet, f"This tablet's clock is {words} the book's.")
    strip(tablet, "1 needs a look")
    expect(tablet.get_by_text("This says it happened 2026-01-06 09:00.")).to_be_visible()
    assert Entry.objects.count() == 0
    tablet.locator(".question input").check()
    tablet.get_by_role("button", name="Send again").click()
    sent(tablet)
    kept = TabletRecord.objects.get()
    off = (kept.made_at - kept.received_at).total_seconds() / 3600
    assert abs(off - hours) < 0.2
    assert "tablet-clock" in kept.entry.form


def test_a_record_of_one_person_is_never_sent_by_another(world, tablet):
    wait(tablet, "Of bo", by="bo")
    send_now(tablet)
    strip(tablet, "Made by bo, who logs in to send.")
    expect(tablet.get_by_text("Waits for bo to log in here.")).to_be_visible()
    expect(tablet.get_by_role("button", name="Send again")).to_have_count(0)
    # Even a page that asks for it is told so, and bo's own role is what counts when bo is here.
    told = tablet.evaluate(
        """async () => { const here = await Tablet.book.reach();
        return Tablet.book.send((await Tablet.store.line())[0], here.token) }"""
    )
    assert told["answer"] == "other"
    assert Entry.objects.count() == 0


def test_who_may_record_no_more_keeps_what_waits(world, tablet):
    Membership.objects.filter(user=world.owner).update(role="reader")
    wait(tablet, "A reader now")
    send_now(tablet)
    expect(
        tablet.get_by_text("This log-in may not send it (403). It is kept here.")
    ).to_be_visible()
    assert Entry.objects.count() == 0


def test_what_is_mended_while_it_is_on_its_way_stays(tablet):
    """The book took the first; what was typed since is another record, and says so."""
    wait(tablet, "On its way")
    left = tablet.evaluate(
        """async () => { const [sent] = await Tablet.store.line();
        await Tablet.store.put({ ...sent, fields: [...sent.fields, ['note', 'mended']] });
        await Tablet.store.settle(sent);
        return (await Tablet.store.line()).map(one => one.fields.at(-1)[1]) }"""
    )
    assert left == ["mended"]


def test_a_browser_that_keeps_nothing_says_so_and_the_form_stays_filled(
    world, browser_page, console_errors
):
    page = browser_page("tablet", user=world.owner)
    # What private windows of some browsers do (W3C Indexed Database API, 3.0, open()).
    page.add_init_script(
        """IDBFactory.prototype.open = () => {
        throw new DOMException('The operation is insecure.', 'SecurityError') }"""
    )
    page.goto("/record/receive-material/?vessel=BIN-1&material=CORN&quantity=10+lb")
    strip(page, "This browser keeps nothing here")
    page.locator("#id_supplier").fill("Typed in private")
    page.route(HERE, lambda route: route.abort())
    page.get_by_role("button", name="Look it over").last.click()
    strip(page, "this record is not kept")
    expect(page.locator("#id_supplier")).to_have_value("Typed in private")
    page.goto("/tablet/waiting/")
    expect(page.locator("#waiting")).to_contain_text("This browser keeps nothing here")
    # With network the book takes it straight away, as any page.
    page.unroute(HERE)
    page.goto("/record/receive-material/?vessel=BIN-1&material=CORN&quantity=10+lb&supplier=Field")
    page.get_by_role("button", name="Look it over").last.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("look it over")
    console_errors[:] = [one for one in console_errors if "Failed to load" not in one]


def test_a_tablet_that_is_full_still_gives_up_what_is_taken(tablet, live_server):
    wait(tablet, "The last that fitted")
    devtools = tablet.context.new_cdp_session(tablet)
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": live_server.url, "quotaSize": 1})
    send_now(tablet)
    sent(tablet)
    assert suppliers("ada") == ["The last that fitted"]


def test_a_remark_of_two_lines_whose_answer_was_lost_is_already_had(tablet):
    """A form sends line ends as CRLF (HTML, 4.10.21.3): kept otherwise it were another record."""
    tablet.goto("/record/receive-material/?vessel=BIN-1&material=CORN&quantity=10+lb&supplier=Farm")
    tablet.locator("textarea").first.fill("wet on top\ndry below")
    tablet.get_by_role("button", name="Look it over").last.click()
    expect(tablet.get_by_role("heading", level=1)).to_contain_text("look it over")

    def lose(route: Route) -> None:
        if route.request.method == "POST":
            route.fetch(max_redirects=0)
            route.abort()
        else:
            route.fallback()

    tablet.route("**/record/receive-material/", lose)
    with tablet.expect_event("requestfailed"):
        tablet.get_by_role("button", name="Record it").click()
    tablet.unroute("**/record/receive-material/")
    tablet.goto("/tablet/waiting/")
    sent(tablet)
    assert suppliers("ada") == ["Farm"]
    assert "\\r\\n" in Entry.objects.get(operation="receive-material").form


def test_a_tampered_file_lands_nothing_of_it_twice(world, tablet, tmp_path, capsys):
    from django.core.management import CommandError, call_command

    wait(tablet, "One", "Two")
    with tablet.expect_download() as saving:
        tablet.get_by_role("button", name="Save all to a file").click()
    path = tmp_path / "records.jsonl"
    saving.value.save_as(path)
    lines = [json.loads(text) for text in path.read_text().splitlines()]
    send_now(tablet)
    sent(tablet)
    lines[0]["quantity"] = "9,000 lb"  # its key is known with another content
    lines[1] |= {"by": "cy", "key": "new"}  # a reader records nothing
    path.write_text("".join(f"{json.dumps(one)}\n" for one in [*lines, {**lines[0], "by": "eve"}]))
    with pytest.raises(CommandError, match="0 recorded, 0 already had, 3 need a look"):
        call_command("record", str(path))
    said = capsys.readouterr().err
    assert "line 1" in said
    assert "cy may not record" in said
    assert "There is no person “eve” here." in said
    assert suppliers("ada") == ["One", "Two"]


def test_what_the_queue_sent_is_undone_for_a_minute(tablet):
    """From the list of what was sent, by the server's clock; both entries stay in the book."""
    wait(tablet, "Sent by mistake")
    send_now(tablet)
    sent(tablet)
    tablet.get_by_role("link", name="№ 1").click()
    tablet.get_by_role("button", name="Undo № 1").click()
    expect(tablet.get_by_text("Undone by № 2. Both stay in the book.")).to_be_visible()
    taken = Entry.objects.get(number=2)
    assert (taken.reverses.number, taken.by) == (1, "ada")
    # The record itself, sent once more out of a file, is had: it does not come back by itself.
    tablet.goto("/tablet/waiting/")
    wait(tablet, "Sent by mistake")
    send_now(tablet)
    sent(tablet)
    assert Entry.objects.count() == 2
