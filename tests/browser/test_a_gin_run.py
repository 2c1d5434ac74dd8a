"""A gin run on the tablet: the still stopped, its basket loaded, the bill on its page."""

import pytest
from playwright.sync_api import expect

from distillery.models import Remark
from ledger.models import Entry
from tests.browser.test_a_record_by_hand import SIZES, each_fits
from tests.distillery.operations.plant_floor import charge, collect, deliver
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PATHS = (
    "/vessels/POT/", "/record/mill/?vessel=SHELF", "/record/move-wash/",
    "/record/receive-distilling-material/", "/record/clean-vessel/?vessel=FV-1",
    "/record/spent-botanicals/?vessel=POT", "/record/return-redistil/",
    "/record/keep-backset/", "/record/retire-feints/?vessel=RCV-1",
)  # fmt: skip


def run_of_gin():
    """A still with a gin run in it, heads taken; the plant, the run and a lot of juniper."""
    world = make_world()
    put(world, "redistil", "NS", "N-1", wine="20", proof="38")
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    run = charge(world, "NS", family="gin", type_code="", water="30 gal")
    collect(world, "heads", "0.5 gal", "170", at="2026-01-12 08:40")
    return world, run, juniper


def look_over(page) -> None:
    page.locator(".step-acts button.main").press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("look it over")
    page.wait_for_load_state()  # every tick is on the page by then


def take(page) -> None:
    for tick in page.locator("main").get_by_role("checkbox").all():
        tick.check()  # what was seen before the still is opened
    page.get_by_role("button", name="Record it").press("Enter")
    expect(page.get_by_text("Recorded as entry")).to_be_visible()


def look_over_and_record(page) -> None:
    look_over(page)
    take(page)


def test_stopped_loaded_and_told(browser_page, axe):
    world, run, juniper = run_of_gin()
    page = browser_page("tablet", user=world.operator)
    page.goto("/record/stop-still/?vessel=POT")
    page.fill("#id_why", "to load the basket")
    page.fill("#id_at", "2026-01-12T09:00")
    look_over_and_record(page)
    assert Remark.objects.get().words == "to load the basket"
    page.goto("/")
    expect(page.locator("main")).to_contain_text("Stopped since 12 Jan 2026 09:00")
    page.goto("/record/load-basket/?vessel=POT")
    page.select_option("#id_botanicals-0-lot", juniper)
    page.fill("#id_botanicals-0-quantity", "1,800 g")
    page.fill("#id_at", "2026-01-12T09:30")
    look_over(page)
    expect(page.locator("main")).to_contain_text("25.03 g a liter of pure alcohol")
    assert axe(page) == []
    take(page)
    assert Entry.objects.order_by("-number").first().operation == "load-basket"
    page.goto(f"/lots/{run}/")
    expect(page.locator("main")).to_contain_text("1,800.00")
    assert axe(page) == []


@SIZES
def test_each_page_fits_its_screen(browser_page, axe, size):
    world, _, _ = run_of_gin()
    each_fits(browser_page(size, user=world.operator), axe, PATHS)
