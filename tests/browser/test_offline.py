"""No network, no loss: thirty records of two tablets, one of them killed, each in the book once.

What must hold: each record lands once and in its order; two tablets that drew from one tank end
in a shown conflict and never in a wrong book (common practice, no source).
"""

import json
import os
import signal
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from django.core.management import call_command
from playwright.sync_api import Error, expect

from distillery.models import TabletRecord
from ledger.models import Entry
from tests.browser.offline_tablet import Tablet, new_context, send_now
from tests.browser.wire import wired
from tests.distillery.stock import held, put
from tests.world import World, make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SENDING = b"POST /tablet/send/"


@pytest.fixture
def world(transactional_db) -> World:
    world = make_world()
    put(world, "storage", "S-1", "N", wine="100", proof="190")
    return world


@pytest.fixture
def tablet(world, chromium, live_server) -> Iterator[Tablet]:
    """Ada's tablet, its pages kept."""
    with wired(live_server.url) as wire:
        tablet = Tablet(new_context(chromium), wire)
        tablet.be(world.owner)
        tablet.keep_pages()
        yield tablet
        tablet.context.close()
    assert tablet.complaints == []


def persistent(chromium, folder: Path, **options):
    return chromium.browser_type.launch_persistent_context(
        folder, executable_path=os.environ.get("CHROMIUM") or "/usr/bin/chromium",
        args=["--no-sandbox"], viewport={"width": 1024, "height": 768}, has_touch=True, **options,
    )  # fmt: skip


def kill(folder: Path) -> None:
    """End the browser that this test started on *folder*, at once, as a flat battery does."""
    for process in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            words = (process / "cmdline").read_bytes().split(b"\0")
            is_browser = not any(word.startswith(b"--type=") for word in words)
            if is_browser and f"--user-data-dir={folder}".encode() in words:
                os.kill(int(process.name), signal.SIGKILL)


def suppliers(by: str) -> list[str]:
    rows = Entry.objects.filter(by=by, operation="receive-material").order_by("number")
    return [json.loads(entry.form)["supplier"] for entry in rows]


def keep_without_network(tablet: Tablet, names: list[str]) -> None:
    for name in names:
        tablet.receive(name)
        tablet.kept()


def mend_the_transfer(other: Tablet) -> None:
    """In its own form, with what was said beside it, and sent again."""
    other.page.get_by_role("link", name="Mend it").click()
    expect(other.page.get_by_text("What the book said")).to_be_visible()
    expect(other.page.locator("#id_volume")).to_have_value("80 gal")
    other.page.locator("#id_volume").fill("15 gal")
    other.look_over()
    expect(other.page.get_by_role("heading", level=1)).to_contain_text("look it over")
    other.page.get_by_role("button", name="Record it").click()
    expect(other.page.get_by_text("Recorded as entry № 31.")).to_be_visible()
    other.until("async () => (await Tablet.store.line()).length", lambda left: left == 0)


def test_thirty_records_of_two_tablets_land_once_and_in_order(
    world, chromium, live_server, tmp_path, tablet
):
    folder = tmp_path / "profile"
    with wired(live_server.url) as wire:
        other = Tablet(persistent(chromium, folder), wire)
        other.be(world.operator)
        other.keep_pages()
        wire.cut()
        tablet.wire.cut()
        ours = [f"Farm {n} (invented)" for n in range(1, 15)]
        keep_without_network(tablet, ours)
        tablet.transfer(to="S-2", gallons="80 gal")
        theirs = [f"Field {n} (invented)" for n in range(1, 15)]
        keep_without_network(other, theirs[:7])
        kill(folder)
        with suppress(Error):
            other.context.close()
        other = Tablet(persistent(chromium, folder), wire)
        other.be(world.operator)
        keep_without_network(other, theirs[7:])
        other.transfer(to="NS", gallons="80 gal")
        other.kept()
        expect(other.page.locator("#tablet")).to_contain_text("15 records wait on this tablet.")
        assert not TabletRecord.objects.exists()

        # Half-way, and the seventh arrives without its answer coming back.
        tablet.kept()
        tablet.wire.mend()
        tablet.wire.cut_after(SENDING, 7)
        send_now(tablet.page)
        tablet.until("async () => (await Tablet.store.line()).length", lambda left: left == 9)
        expect(tablet.page.locator("#tablet")).to_contain_text("No network")
        # The seventh is on its way to the book while the tablet thinks it lost.
        tablet.until("() => 7", lambda _: suppliers("ada") == ours[:7])
        tablet.wire.mend()
        send_now(tablet.page)
        tablet.sent()

        # The other was away longer: what it drew is no longer there.
        wire.mend()
        send_now(other.page)
        expect(other.page.locator("#tablet")).to_contain_text("1 needs a look")
        assert [state for state, _ in other.line()] == ["look"]
        expect(other.page.get_by_text("Newest in the book at S-1")).to_be_visible()
        assert (suppliers("ada"), suppliers("bo")) == (ours, theirs)
        assert held("S-1") == [("storage", "N", 2000, 3800)]

        mend_the_transfer(other)
        other.context.close()
    assert other.complaints == []
    kept = TabletRecord.objects.values_list("device", flat=True)
    assert len(kept) == 29  # the mended one went through its own page
    assert len(set(kept)) == 2
    assert Entry.objects.filter(operation__in=("receive-material", "transfer")).count() == 30
    assert held("S-1") == [("storage", "N", 500, 950)]


def test_what_was_saved_to_a_file_lands_nothing_twice(world, tablet, tmp_path, capsys):
    tablet.wire.cut()
    for name in ("One", "Two", "Three"):
        tablet.receive(name)
        tablet.kept()
    with tablet.page.expect_download() as saving:
        tablet.page.get_by_role("button", name="Save all to a file").click()
    path = tmp_path / "records.jsonl"
    saving.value.save_as(path)
    assert saving.value.suggested_filename.endswith(".jsonl")
    call_command("record", str(path))
    assert "3 recorded, 0 already had" in capsys.readouterr().out
    tablet.wire.mend()
    send_now(tablet.page)
    tablet.sent()
    call_command("record", str(path))
    assert "0 recorded, 3 already had" in capsys.readouterr().out
    assert suppliers("ada") == ["One", "Two", "Three"]


def test_an_answer_that_is_lost_on_its_way_loses_nothing(world, tablet):
    """The page's own post arrives and its answer does not: the tablet asks, and it is had."""
    tablet.receive("Answered late")
    expect(tablet.page.get_by_role("heading", level=1)).to_contain_text("look it over")
    tablet.wire.cut_after(b"POST /record/receive-material/", 1)
    tablet.page.get_by_role("button", name="Record it").click()
    tablet.kept()
    # The book is at it while the tablet thinks it lost.
    tablet.until("() => 1", lambda _: suppliers("ada") == ["Answered late"])
    tablet.wire.mend()
    send_now(tablet.page)
    tablet.sent()
    assert suppliers("ada") == ["Answered late"]
