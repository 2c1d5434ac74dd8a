"""Shipping, receiving, removing and taking back, at a tablet and on a phone."""

import pytest
from playwright.sync_api import expect

from tests.browser.test_a_record_by_hand import SIZES, each_fits, fit
from tests.distillery.stock import put
from tests.world import make_barrels, make_vessel, make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SLUGS = (
    "ship-in-bond", "receive-in-bond", "remove", "goods-gone", "cancel-invoice",
    "return-to-bond", "return-for-relabel", "taxpaid-sell", "taxpaid-receive",
)  # fmt: skip


@pytest.fixture
def world():
    """Two cases of gin in the store, an empty shop, a barrel, spirits held for another."""
    world = make_world()
    make_vessel(world.premises, "SHOP", "store")
    make_barrels(world.premises, "B-1")
    put(
        world, "finished", "STORE", "K-1", wine="4.76", proof="4.28", amount=24, stage="bottled",
        unit="bottle", form="bottled", class_code="gin", name="Point gin", bottle_ml=750,
        per_case=12, label_proof=900,
    )  # fmt: skip
    put(
        world, "storage", "S-1", "N-1", wine="100", proof="190", name="Neutral spirits",
        owner="Heron Distilling (invented)",
    )  # fmt: skip
    return world


@SIZES
def test_every_form_fits(world, browser_page, axe, size):
    paths = [f"/record/{slug}/" for slug in SLUGS]
    each_fits(browser_page(size, user=world.owner), axe, [*paths, "/vessels/S-1/"])


@SIZES
def test_an_invoice_waits_goes_and_shows_in_the_book(world, browser_page, axe, size):
    page = browser_page(size, user=world.owner)
    page.goto("/record/remove/")
    page.get_by_role("button", name="All on one page").click()
    page.get_by_label("Invoice or shipping document, number").fill("501")
    page.get_by_label("Consignee", exact=False).first.fill("Harbor Wholesale (invented)")
    page.locator("#id_rows-0-lot").select_option("K-1")
    page.locator("#id_rows-0-cases").fill("1")
    page.get_by_label("Not gone yet: the goods still stand here").check()
    page.get_by_role("button", name="Look it over").last.click()
    expect(page.get_by_text("Tax is determined on 2.14 PG by document 501.")).to_be_visible()
    expect(page.get_by_text("signed or initialled")).to_be_visible()  # 27 CFR 19.611
    fit(page, axe)
    page.get_by_role("checkbox").last.check()
    page.get_by_role("button", name="Record it").click()
    expect(page.get_by_text("Recorded as entry № 3.")).to_be_visible()
    page.goto("/vessels/STORE/")
    fit(page, axe)
    page.get_by_role("link", name="Goods of 501 gone").click()
    expect(page.get_by_label("Invoice or shipping document, number")).to_have_value("501")
    page.get_by_role("button", name="Look it over").last.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("look it over")
    fit(page, axe)
    page.get_by_role("button", name="Record it").click()
    expect(page.get_by_text("Recorded as entry № 4.")).to_be_visible()
    fit(page, axe)
