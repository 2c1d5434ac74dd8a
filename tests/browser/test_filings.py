"""The filings as a person opens them: from the month to a figure, to its entry, and closed."""

import pytest
from playwright.sync_api import expect

from ledger.models import Period
from tests.browser.test_a_record_by_hand import SIZES, each_fits, fit
from tests.test_lifecycle import live_year, make_lifecycle

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PATHS = (
    "/filings/", "/filings/2026-03/", "/filings/2026-03/production/", "/filings/2026-03/tax/",
    "/filings/2026-03/storage/", "/filings/2026-03/processing/", "/filings/2026-02/",
    "/record/", "/record/production-gauge/", "/record/fill-barrels/?vessel=S-1",
    "/record/dump/", "/record/count/", "/record/remove/", "/record/opening-balance/",
)  # fmt: skip


@pytest.fixture
def year():
    """The worked year up to March, January and February closed."""
    world = make_lifecycle()
    live_year(world, 3)
    return world


@SIZES
def test_every_page_fits(year, browser_page, axe, size):
    each_fits(browser_page(size, user=year.owner), axe, PATHS)


def test_a_figure_opens_down_to_the_form_filled_in(year, browser_page, axe):
    page = browser_page("tablet", user=year.owner)
    page.goto("/filings/2026-01/production/")
    page.get_by_role("link", name="150.00").first.click()
    page.wait_for_url("**/behind/**")
    fit(page, axe)
    page.get_by_role("link", name="№").first.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("№")
    expect(page.get_by_text("111.94").first).to_be_visible()
    fit(page, axe)


def test_the_owner_closes_march(year, browser_page, axe):
    page = browser_page("tablet", user=year.owner)
    page.goto("/filings/2026-03/")
    page.get_by_role("button", name="Close March").click()
    expect(page.get_by_text("March 2026 is closed.")).to_be_visible()
    fit(page, axe)
    assert Period.objects.get(month="2026-03-01").state == Period.State.CLOSED


def test_an_operator_is_not_offered_to_close(year, browser_page):
    page = browser_page("tablet", user=year.operator)
    page.goto("/filings/2026-03/")
    expect(page.get_by_role("button", name="Close")).to_have_count(0)
