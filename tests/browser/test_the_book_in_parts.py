"""Paging and sorting the book: the listing alone is fetched, and the address still tells it."""

import pytest
from playwright.sync_api import expect

from tests.browser.test_a_record_by_hand import fit
from tests.world import make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_the_next_page_comes_without_the_rest_of_the_page(browser_page, axe):
    world = make_world()
    for number in range(30):
        world.record(
            "receive-material", "2026-01-05 09:00", material="CORN", quantity=f"{number + 1} lb",
            vessel="BIN-1", supplier="Dune Grain (invented)",
        )  # fmt: skip
    page = browser_page("tablet", user=world.owner)
    page.goto("/book/")
    page.evaluate("document.querySelector('h1').dataset.stayed = 'yes'")
    page.get_by_role("link", name="Next page").click()
    expect(page.get_by_text("Page 2")).to_be_visible()
    page.wait_for_url("**page=2")
    expect(page.locator("h1[data-stayed=yes]")).to_have_count(1)
    fit(page, axe)
    page.go_back()
    expect(page.get_by_text("Page 1")).to_be_visible()
