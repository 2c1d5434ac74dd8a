"""Many of a kind at once by touch: twelve barrels, every fermenter, a count from tank to tank.

Figures of our own; proof gallons are gallons times proof by 100 (27 CFR 30.11, 30.51).
"""

import pytest
from playwright.sync_api import expect

from distillery.models import OpenCount, Reading
from ledger.models import Holding
from tests.browser.at_the_tablet import Day
from tests.browser.test_recording_by_touch import SIZES, confirm, world  # noqa: F401

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@SIZES
def test_twelve_barrels_in_a_row_against_the_tank(world, browser_page, size):  # noqa: F811
    page = browser_page(size, user=world.operator)
    day = Day(page, size)
    page.goto("/")
    day.floor()
    page.goto("/fill/?vessel=S-1")
    day.heading("Fill barrels in a row")
    code = page.get_by_label("Code, scanned or typed")
    expect(code).to_have_value("B-101")
    code.fill("B-105")  # what stands nearest is filled first
    row = [f"B-{n}" for n in (*range(105, 113), *range(101, 105))]
    for number, barrel in enumerate(row, 1):
        expect(code).to_have_value(barrel)
        day.figure("new-volume", "14")
        day.pad("Add this barrel")
        expect(page.locator(".totals")).to_contain_text(f"{number} barrel")
        # S-1 holds 200 gal with 240 PG at 120 proof: 16.80 PG go with each 14 gal
        expect(page.locator(".totals")).to_contain_text(f"{200 - 14 * number}.00 gal")
    expect(page.locator(".totals")).to_contain_text("201.60 PG")
    page.wait_for_load_state()
    expect(page.get_by_role("group", name="Number pad")).to_be_hidden()
    day.look("twelve")
    page.get_by_role("button", name="Look the row over").tap()
    confirm(page)
    full = Holding.objects.filter(vessel__code__startswith="B-", proof_gallons=1680)
    assert full.count() == 12
    assert Holding.objects.get(vessel__code="S-1", wine_gallons__gt=0).wine_gallons == 3200


@SIZES
def test_every_fermenter_on_one_card_without_leaving_the_pad(world, browser_page, size):  # noqa: F811
    page = browser_page(size, user=world.operator)
    day = Day(page, size)
    page.goto("/")
    day.floor()
    page.get_by_role("link", name="Readings").tap()
    day.heading("Readings")
    page.locator("input[name=FV-1-gravity]").tap()
    day.keys("1.020")
    page.locator("input[name=FV-2-gravity]").tap()
    expect(page.locator("input[name=FV-2-gravity]")).to_have_class("quantity on-pad")
    day.keys("1.025")
    day.look("round")
    day.pad("Keep the readings")
    expect(page.get_by_text("Kept: FV-1, FV-2.")).to_be_visible()
    assert Reading.objects.filter(gravity__in=["1.020", "1.025"]).count() == 2


@SIZES
def test_a_count_is_walked_from_tank_to_tank(world, browser_page, axe, size):  # noqa: F811
    page = browser_page(size, user=world.operator)
    day = Day(page, size)
    page.goto("/counts/")
    page.get_by_label("Kind of count").select_option("quarter")
    page.get_by_role("button", name="Open the count").tap()
    day.heading("Count 1")
    day.look("count")
    page.get_by_role("link", name="Count S-1").tap()
    day.heading("S-1")
    day.figure("found-volume", "199")
    day.pad("Next")
    day.keys("60")
    day.put("found-proof", "120")
    day.look("count-place")
    assert axe(page) == []
    page.get_by_role("button", name="Keep it, next place").tap()
    day.heading("Count 1")
    day.look("count-check")
    assert OpenCount.objects.get().places.count() == 1


def test_a_scanned_code_leads_to_the_weight(world, browser_page):  # noqa: F811
    page = browser_page("tablet", user=world.operator)
    page.goto("/fill/?vessel=S-1")
    code = page.get_by_label("Code, scanned or typed")
    code.fill("")
    code.press_sequentially("B-107")
    code.press("Enter")  # as a scanner ends what it reads
    expect(page.get_by_label("Gross weight", exact=True)).to_be_focused()
    page.keyboard.type("165")
    page.keyboard.press("Enter")
    expect(page.locator(".row-list")).to_contain_text("B-107")
    expect(code).to_have_value("B-108")
