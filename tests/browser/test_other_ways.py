"""The other ways of a gauge stand folded, fit every screen, and open where they are in use."""

import pytest
from playwright.sync_api import expect

from tests.browser.test_a_record_by_hand import fit, log_in
from tests.world import make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def world():
    return make_world()


@pytest.mark.parametrize("size", ["tablet", "phone"])
@pytest.mark.parametrize("slug", ["production-gauge", "dump", "remove"])
def test_the_other_ways_open_and_fit(world, browser_page, axe, size, slug):
    page = browser_page(size)
    log_in(page, "bo")
    page.goto(f"/record/{slug}/")
    page.get_by_role("button", name="All on one page").click()
    dip = page.get_by_label("Dip, inches of liquid").first
    expect(dip).not_to_be_visible()
    fit(page, axe)
    page.get_by_text("Other ways", exact=True).first.click()
    dip.fill("deep")
    fit(page, axe)
    page.get_by_role("button", name="Look it over").last.click()
    expect(page.get_by_role("alert")).to_be_visible()
    again = page.get_by_label("Dip, inches of liquid").first
    expect(again).to_be_visible()
    expect(again).to_have_value("deep")
    fit(page, axe)
