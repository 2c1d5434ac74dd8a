"""By keyboard alone: all is reached, in order, seen where it is, and left again."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.every_page import full_world, opened
from tests.browser.rendered import bring, found, unfold

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
# A page of each build, by real keys; every page is walked by script, in test_every_page.py.
WALKED = (
    "/", "/log-in/", "/book/", "/filings/2026-01/production/", "/vessels/BIN-1/", "/barrels/",
    "/record/receive-material/", "/record/production-gauge/", "/record/fill-barrels/",
    "/runs/RUN-1/", "/bottlings/", "/counts/1/", "/labels/", "/readings/",
)  # fmt: skip
ROUNDS = 8  # enough for the six stops of one box of day and hour


@pytest.fixture
def world(transactional_db):
    return full_world()


def tab_through(page: Page) -> None:
    """Until every stop was met; what has stops within itself, as a day and its hour, takes more."""
    left = page.evaluate("rendered.listen()")
    for _ in range(ROUNDS):
        for _ in range(left):
            page.keyboard.press("Tab")
        left = page.evaluate("rendered.left().length")


def test_tab_meets_everything_in_order_and_shows_it(world, browser_page):
    page = browser_page("tablet", user=world.owner)
    bring(page)
    page.emulate_media(reduced_motion="reduce")
    lines = []
    for path in WALKED:
        opened(page, path)
        unfold(page)
        tab_through(page)
        lines += [f"{path} {one}" for one in found(page, ["keys"])]
    assert lines == []


def test_the_first_tab_leads_past_the_doors(world, browser_page):
    """WCAG 2.2, 2.4.1."""
    page = browser_page("tablet", user=world.owner)
    page.goto("/record/receive-material/")
    page.keyboard.press("Tab")
    skip = page.get_by_role("link", name="Skip to the content")
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport()
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()
    page.keyboard.press("Tab")
    expect(page.locator("main :focus")).to_have_count(1)
