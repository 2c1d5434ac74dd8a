"""What takes back, without network: each ends in a sentence, and nothing is half-done."""

from collections.abc import Callable, Iterator
from datetime import timedelta

import pytest
from playwright.sync_api import expect

from distillery.models import Reading, ReadingVoid
from distillery.pages import done, undo_reading
from ledger.models import Entry
from tests.browser.offline_tablet import TRIES, WAIT_MS, Tablet, new_context
from tests.browser.test_offline_floor import NOT_SENT
from tests.browser.wire import wired
from tests.distillery.operations.plant_floor import mash
from tests.world import World, make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def world(transactional_db, monkeypatch) -> World:
    """A wash read once by bo; the minute of undoing outlasts a slow machine."""
    for module in (done, undo_reading):
        monkeypatch.setattr(module, "UNDO", timedelta(hours=1))
    world = make_world()
    mash(world, gravity="1.060")
    world.record(
        "ferment-reading", "2026-01-07 08:00", key="r1", vessel="FV-1", gravity="1.031",
        by=world.operator,
    )  # fmt: skip
    return world


@pytest.fixture
def tablet(world, chromium, live_server) -> Iterator[Tablet]:
    """Bo's tablet."""
    with wired(live_server.url) as wire:
        tablet = Tablet(new_context(chromium), wire)
        tablet.be(world.operator)
        tablet.begin()
        yield tablet
        tablet.context.close()
    assert tablet.complaints == []


def in_time(tablet: Tablet, holds: Callable[[], bool]) -> None:
    """Wait until the server has done what it was sent: the browser hears nothing of it."""
    for _ in range(TRIES):
        if holds():
            return
        tablet.page.wait_for_timeout(WAIT_MS)
    raise AssertionError("the server never did it")


def test_undoing_and_voiding_without_network(world, tablet):
    page = tablet.page
    said = page.locator("#tablet")

    # A reading is undone: once in vain, once with its answer lost on the way, and once more.
    tablet.open("/readings/")
    undo = page.get_by_role("button", name="Undo the reading of FV-1").first
    expect(undo).to_be_visible()
    tablet.wire.cut()
    undo.click()
    expect(said).to_contain_text(NOT_SENT)
    expect(page.get_by_role("heading", name="Readings", level=1)).to_be_visible()
    assert not ReadingVoid.objects.exists()
    assert tablet.line() == []
    tablet.wire.mend()
    tablet.open("/readings/")
    expect(undo).to_be_visible()
    tablet.wire.cut_after(b"POST /readings/undo/", 1)
    undo.click()
    expect(said).to_contain_text(NOT_SENT)
    in_time(tablet, ReadingVoid.objects.exists)
    tablet.wire.mend()
    undo.click()
    expect(page.get_by_text("The reading of FV-1 is voided already.")).to_be_visible()
    assert ReadingVoid.objects.count() == 1

    # An entry is undone.
    tablet.receive("To be undone")
    expect(page.get_by_role("heading", level=1)).to_contain_text("look it over")

    # To change something is no record: without network it stays what it was, looked over.
    tablet.wire.cut()
    page.get_by_role("button", name="Change something").click()
    expect(said).to_contain_text(NOT_SENT)
    assert tablet.line() == []
    tablet.wire.mend()
    page.get_by_role("button", name="Record it").click()
    back = page.get_by_role("button", name="Undo №")
    expect(back).to_be_visible()
    tablet.wire.cut()
    back.click()
    expect(said).to_contain_text(NOT_SENT)
    expect(page.get_by_role("heading", level=1)).to_contain_text("Receive a material")
    assert not Entry.objects.filter(operation="reverse").exists()
    assert tablet.line() == []
    tablet.wire.mend()
    back.click()
    expect(page.get_by_text("Both stay in the book.")).to_be_visible()
    assert Entry.objects.filter(operation="reverse").count() == 1


def test_a_reading_voided_without_network_waits_and_is_voided_once(world, tablet):
    page = tablet.page
    tablet.open("/record/void-reading/?reading=r1")
    expect(page.get_by_role("combobox", name="Reading")).to_have_value("r1")
    tablet.wire.cut()
    page.get_by_role("textbox", name="Why").fill("Read of FV-2")
    page.get_by_role("button", name="Record it").last.click()
    tablet.kept()
    assert Reading.objects.standing().filter(key="r1").exists()
    assert [state for state, _ in tablet.line()] == ["waiting"]
    tablet.wire.mend()
    tablet.wire.cut_after(b"POST /tablet/send/", 1)  # it arrives, its answer does not
    tablet.open("/tablet/waiting/")
    in_time(tablet, ReadingVoid.objects.exists)
    tablet.wire.mend()
    tablet.open("/tablet/waiting/")
    tablet.sent()
    assert ReadingVoid.objects.get().reason == "Read of FV-2"
