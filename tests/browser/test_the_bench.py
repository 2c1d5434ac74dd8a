"""The bench on a tablet and on a phone: every page fits, and a figure goes into a record."""

import pytest
from playwright.sync_api import expect

from distillery.bench import calculations
from tests.browser.test_a_record_by_hand import SIZES, fit, title
from tests.distillery.pages.test_bench import FILLED_IN
from tests.world import make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@SIZES
def test_every_page_of_the_bench_fits(browser_page, axe, size):
    page = browser_page(size, user=make_world().reader)
    page.goto("/bench/")
    fit(page, axe)
    for slug in calculations():
        page.goto(f"/bench/{slug}/")
        fit(page, axe)
        page.goto(f"/bench/{slug}/?{FILLED_IN[slug]}")
        expect(page.locator(".slip")).to_be_visible()
        fit(page, axe)


@SIZES
def test_water_is_worked_out_and_carried(browser_page, axe, size):
    """27 CFR 30.66: 100 gallons of 112 proof to 100 proof take 12.43."""
    page = browser_page(size, user=make_world().operator)
    page.goto("/record/")
    page.get_by_role("link", name="The bench").click()
    page.get_by_role("link", name="Water to add, by volume").click()
    page.get_by_label("Gallons at 60 °F").fill("100 gal")
    page.get_by_label("Proof at 60 °F").fill("112")
    page.get_by_role("button", name="Work it out").last.click()
    expect(page.get_by_role("alert")).to_be_focused()
    fit(page, axe)
    page.get_by_label("Cut to proof").fill("100")
    page.get_by_label("Cut to proof").press("Enter")
    expect(page.locator(".result")).to_contain_text("12.43 gal")
    page.get_by_role("link", name="Carry it to").click()
    title(page, "Reduce with water")
    expect(page.locator("#id_water")).to_have_value("12.43")
