"""A count walked by touch, and an entry mended, at the sizes a plant uses."""

from datetime import date

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from distillery.models import OpenCount
from ledger.models import Entry
from reports.month_end import close_month
from tests.browser.test_a_record_by_hand import SIZES, fit
from tests.distillery.stock import put
from tests.world import make_barrels, make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
GIN = {
    "stage": "bottled", "unit": "bottle", "form": "bottled", "class_code": "gin",
    "name": "Point gin", "product": "GIN-750", "bottle_ml": 750, "per_case": 12, "label_proof": 900,
}  # fmt: skip


@pytest.fixture
def plant():
    """Stock in a tank, a barrel and the store; January closed with a spill that never was."""
    world = make_world()
    make_barrels(world.premises, "26A05-1")
    put(world, "storage", "S-1", "N", wine="100", proof="190")
    put(world, "storage", "26A05-1", "26A05", wine="14.00", proof="16.00")
    put(world, "finished", "STORE", "K-1", wine="5.55", proof="4.99", amount=28, **GIN)
    world.record("lose", "2026-01-10 10:00", vessel="S-1", cause="spill", volume="1 gal")
    close_month(world.premises, date(2026, 1, 1), by="ada")
    gauge = {"volume": "60 gal", "temperature": "60 F", "proof": "190"}
    world.record("transfer", "2026-03-03 10:00", vessel="S-1", gauge=gauge, to="S-2")
    world.record("transfer", "2026-03-04 10:00", vessel="S-2", gauge=gauge, to="NS")
    world.record("notice", "2026-03-05 09:00", kind="suspension", how="letter", reference="L-1")
    return world


@SIZES
def test_a_blind_count_is_walked_looked_over_and_posted(plant, browser_page, axe, size):
    page = browser_page(size, user=plant.operator)
    page.goto("/counts/")
    fit(page, axe)
    page.get_by_label("Kind of count").select_option("other")
    before = timezone.now().astimezone(plant.premises.zone).date()
    page.get_by_role("button", name="Open the count").click()
    page.wait_for_url("**/counts/1/")
    fit(page, axe)
    page.get_by_role("link", name="Tick off barrels").click()
    page.wait_for_url("**/counts/1/barrels/**")
    fit(page, axe)
    page.get_by_label("26A05-1").check()
    page.get_by_role("button", name="Keep those ticked").click()
    page.wait_for_url("**/counts/1/")
    page.goto("/counts/1/place/?vessel=STORE&lot=K-1")
    expect(page.get_by_text("4.99 PG")).to_have_count(0)
    fit(page, axe)
    page.get_by_label("Bottles found").fill("27")
    page.get_by_role("button", name="Keep it, back to the list").click()
    expect(page.get_by_text("differs")).to_be_visible()
    page.get_by_role("link", name="Look it over").click()
    expect(page.get_by_text("Shortage of 1 bottle, 0.18 PG")).to_be_visible()
    fit(page, axe)
    page.get_by_role("button", name="Look at what would be posted").click()
    page.get_by_role("button", name="Record it").click()
    expect(page.get_by_text("Recorded as entry")).to_be_visible()
    row = OpenCount.objects.get()
    assert row.closed_by == Entry.objects.latest("pk")
    after = timezone.now().astimezone(plant.premises.zone).date()
    assert row.as_of in (before, after)  # one day, unless midnight came in between


@SIZES
@pytest.mark.parametrize("path", ["/book/5/chain/", "/record/transfer/?instead_of=5", "/notices/",
                                  "/book/5/", "/counts/"])  # fmt: skip
def test_the_pages_of_mending_fit(plant, browser_page, axe, size, path):
    page = browser_page(size, user=plant.owner)
    assert page.goto(path).status == 200
    fit(page, axe)


def test_a_chain_is_shown_and_taken_back(plant, browser_page):
    page = browser_page("tablet", user=plant.owner)
    page.goto("/book/5/")
    page.get_by_role("link", name="Take back with what stands on it").click()
    expect(page.get_by_text("2 entries have to go together")).to_be_visible()
    page.get_by_label("Why").fill("moved on paper only")
    page.get_by_role("button", name="Take back all 2").click()
    expect(page.get_by_text("Taken back by № 8, № 9.")).to_be_visible()


@SIZES
def test_the_owner_sees_what_each_month_would_say(plant, browser_page, axe, size):
    page = browser_page(size, user=plant.owner)
    page.goto("/record/reverse/?entry=4")
    page.get_by_label("Why").fill("nothing was spilt")
    page.get_by_role("button", name="Look it over").last.click()
    page.get_by_role("button", name="See what each does to the reports").click()
    expect(page.get_by_text("Amend January 2026: booked in")).to_be_visible()
    fit(page, axe)
    page.get_by_role("button", name="Amend January 2026").click()
    expect(page.get_by_role("button", name="Record it")).to_be_visible()
