"""Barrels in a browser: the life of one, the list, a move recorded by touch."""

import pytest
from playwright.sync_api import expect

from distillery.models import VesselSheet
from tests.distillery.barrel_house import lived_in

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SIZES = pytest.mark.parametrize("size", ["tablet", "phone"])
PATHS = ("/barrels/", "/barrels/B-101/")


@SIZES
def test_a_scan_finds_nothing_serious_and_nothing_is_cut_off(
    browser_page, axe, console_errors, size
):
    page = browser_page(size, user=lived_in().owner)
    found: list[str] = []
    for path in PATHS:
        page.goto(path)
        assert console_errors == []
        wide = page.evaluate("document.documentElement.scrollWidth > window.innerWidth")
        assert not wide, path
        found += [f"{path}: {one}" for one in axe(page)]
        console_errors.clear()  # the scan adds a style of its own, which our policy blocks
    assert found == []


def test_a_barrel_is_moved_from_its_page(browser_page):
    page = browser_page("tablet", user=lived_in().operator)
    page.goto("/barrels/B-102/")
    page.get_by_text("What is next").click()
    page.get_by_role("link", name="Move barrels").click()
    expect(page.get_by_label("Barrels, like")).to_have_value("B-102")
    page.get_by_label("Place, like").fill("Rack 9")
    page.get_by_role("button", name="Look it over").last.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("look it over")
    page.get_by_role("button", name="Record it").click()
    expect(page.get_by_text("Recorded as entry")).to_be_visible()
    page.goto("/barrels/B-102/")
    expect(page.get_by_text("Rack 9").first).to_be_visible()
    assert VesselSheet.objects.get(vessel__code="B-102").room == "Rack 9"
