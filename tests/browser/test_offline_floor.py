"""Each form of the floor without network: kept and sent later, or the page stays and says so."""

from collections.abc import Iterator
from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from distillery.models import EmergencyFact, OpenCount, Reading, TabletRecord
from tests.browser.offline_tablet import Tablet, new_context
from tests.browser.wire import wired
from tests.distillery.operations.plant_floor import charge, mash
from tests.distillery.stock import put
from tests.world import ZONE, World, make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
NOT_SENT = "The book gave no answer, and this page is not kept for later."


def ago(minutes: int) -> str:
    return f"{(timezone.now() - timedelta(minutes=minutes)).astimezone(ZONE):%Y-%m-%d %H:%M}"


@pytest.fixture
def world(transactional_db) -> World:
    """A wash that ferments and a gin run that is charged."""
    world = make_world()
    mash(world, gravity="1.060", at=ago(3000))
    put(world, "redistil", "NS", "N-1", wine="20", proof="38")
    charge(world, "NS", family="gin", type_code="", water="30 gal", lot="RUN-1", at=ago(50))
    return world


@pytest.fixture
def tablet(world, chromium, live_server, request) -> Iterator[Tablet]:
    """Bo's tablet, its pages kept."""
    with wired(live_server.url) as wire:
        tablet = Tablet(new_context(chromium, getattr(request, "param", "tablet")), wire)
        tablet.be(world.operator)
        tablet.keep_pages("receive-material")
        yield tablet
        tablet.context.close()
    assert tablet.complaints == []


def opened(tablet: Tablet, path: str):
    """Another page of the same tablet, open while there is network."""
    page = tablet.context.new_page()
    page.goto(f"{tablet.wire.url}{path}")
    page.wait_for_function("navigator.serviceWorker.controller !== null")
    return page


def test_the_floor_goes_on_without_network(world, tablet):
    page = tablet.page
    count, row = opened(tablet, "/counts/"), opened(tablet, "/fill/")
    tablet.wire.cut()

    tablet.open("/")
    expect(page.get_by_role("heading", name="Floor", level=1)).to_be_visible()
    expect(page.locator("#tablet")).to_contain_text("as they were kept")
    expect(page.locator("main")).to_contain_text("FV-1")
    tablet.open("/emergency/")
    expect(page.get_by_role("heading", name="Emergency", level=1)).to_be_visible()

    tablet.open("/runs/RUN-1/")
    page.locator("#id_temperature").fill("172 F")
    page.get_by_role("button", name="Note it").click()
    tablet.kept()
    tablet.open("/runs/RUN-1/")
    page.get_by_role("button", name="Heads from now").click()
    tablet.kept()
    tablet.open("/readings/")
    page.locator("input[name='FV-1-gravity']").fill("1.031")
    page.get_by_role("button", name="Keep the readings").click()
    tablet.kept()
    expect(page.locator("#tablet")).to_contain_text("3 records wait on this tablet.")
    expect(page.get_by_role("heading", name="2. Heads from now: POT")).to_be_visible()

    # What an entry held that is recorded instead is not on the tablet: the form is not offered.
    tablet.open("/record/receive-material/?instead_of=2")
    expect(page.get_by_role("heading", name="No network")).to_be_visible()

    # A count is opened and walked on the server; a row of barrels is reckoned there.
    count.get_by_label("Stands for the end of the day").fill("2026-11-30")
    count.get_by_role("button", name="Open the count").click()
    expect(count.locator("#tablet")).to_contain_text(NOT_SENT)
    expect(count.get_by_label("Stands for the end of the day")).to_have_value("2026-11-30")
    row.locator("#id_new-gross").fill("131.5 lb")
    row.get_by_role("button", name="Add this barrel").last.click()
    expect(row.locator("#tablet")).to_contain_text(NOT_SENT)
    expect(row.locator("#id_new-gross")).to_have_value("131.5 lb")
    assert not OpenCount.objects.exists()
    assert not TabletRecord.objects.exists()

    tablet.wire.mend()
    page.goto(f"{tablet.wire.url}/tablet/waiting/")
    tablet.sent()
    kept = Reading.objects.filter(by="bo").order_by("pk")
    assert [one.vessel.code for one in kept] == ["POT", "POT", "FV-1"]
    assert kept[1].still_reading.cut == "heads"
    assert TabletRecord.objects.count() == 3


SMALL = """() => [...document.querySelectorAll('main a.button')]
  .map((one) => one.getBoundingClientRect().height).filter((height) => height < 44)"""
WIDE = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.mark.parametrize("tablet", ["tablet", "phone"], indirect=True)
def test_the_emergency_page_opens_without_network_from_anywhere(world, tablet, axe):
    """From the floor, from a page that was never kept, and by its address in the installed app."""
    EmergencyFact.objects.create(premises=world.premises, what="Gas valve", told="north wall")
    page = tablet.page
    heading = page.get_by_role("heading", name="Emergency", level=1)
    tablet.open("/emergency/")
    expect(page.get_by_text("north wall")).to_be_visible()
    tablet.open("/bench/")  # a page of tools: not one of those kept
    expect(page.get_by_role("heading", name="Bench", level=1)).to_be_visible()
    tablet.wire.cut()
    page.get_by_role("link", name="Emergency").last.click()
    expect(heading).to_be_visible()
    tablet.open("/")
    expect(page.locator("#tablet")).to_contain_text("as they were kept")
    page.get_by_role("link", name="Emergency").last.click()
    expect(heading).to_be_visible()
    expect(page.get_by_role("link", name="911")).to_have_attribute("href", "tel:911")
    expect(page.locator("main .cases section")).not_to_have_count(0)
    assert page.evaluate(SMALL) == []  # 44 px: WCAG 2.2, 2.5.5; with its own style sheets, kept
    assert page.evaluate(WIDE) <= 0
    assert axe(page) == []
    tablet.complaints.clear()  # the scan adds a style of its own, which our policy blocks
