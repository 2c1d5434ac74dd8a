"""The trace of the worked year by hand: from the words on a case to the grain and its customers."""

import pytest
from playwright.sync_api import expect

from tests.browser.test_a_record_by_hand import SIZES, fit, title
from tests.test_lifecycle import live_year, make_lifecycle

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@SIZES
def test_a_case_leads_to_its_grain_and_to_who_has_it(browser_page, axe, size):
    world = make_lifecycle()
    live_year(world, 10)
    page = browser_page(size, user=world.reader)
    page.goto("/book/")
    page.get_by_role("link", name="Trace a code").click()
    page.wait_for_url("**/trace/**")
    fit(page, axe)
    box = page.get_by_label("Lot, vessel, barrel, case or bottle code")
    box.fill("GIM")
    box.press("Enter")
    expect(page.locator("#code-wrong")).to_contain_text("There is no lot")
    fit(page, axe)
    box = page.get_by_label("Lot, vessel, barrel, case or bottle code")
    box.fill("GIN-750 17")
    box.press("Enter")
    title(page, "Trace of lot GIN")
    fit(page, axe)
    expect(page.locator("#out-list")).to_contain_text("A laboratory (invented)")
    page.goto("/trace/BBN/")
    page.locator("svg a[aria-label^='CORN']").click()
    title(page, "Trace of lot CORN")
    expect(page.locator("#into-list")).to_contain_text("BBN")
    fit(page, axe)
    with page.expect_download() as sheet:
        page.get_by_role("link", name="Recall sheet, PDF").click()
    assert sheet.value.suggested_filename == "recall-CORN.pdf"
