"""The floor as one picture: what stands where, what needs a hand, usable without colour."""

import pytest
from playwright.sync_api import expect

from distillery.models import VesselSheet
from tests.browser.test_a_record_by_hand import fit
from tests.browser.test_recording_by_touch import SIZES, shot, world  # noqa: F401
from tests.distillery.stock import put

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def full(world):  # noqa: F811
    """Something everywhere: new make to gauge, gin in process, cases in the store."""
    put(world, "production", "RCV-1", "R-9", wine="30", proof="39", name="Hearts",
        class_code="", stage="run")  # fmt: skip
    put(world, "processing", "BT-1", "B-GIN", wine="103.56", proof="93.20", class_code="gin",
        type_code="distilled gin", stage="batch", name="Point gin")  # fmt: skip
    put(world, "storage", "B-101", "26C02", wine="14.5", proof="17.1", class_code="whisky",
        name="Bourbon")  # fmt: skip
    return world


@SIZES
def test_the_floor_as_a_picture(full, browser_page, axe, size):
    page = browser_page(size, user=full.operator)
    page.goto("/")
    plan = page.locator("svg.plan:visible")
    expect(plan).to_have_count(1)
    expect(plan.locator("a").filter(has_text="FV-1")).to_contain_text("SG 1.031")
    expect(plan.locator("a").filter(has_text="RCV-1")).to_contain_text("Needs")
    shot(page, f"{size}-floor")
    fit(page, axe)
    sizes = plan.locator("a .spot").evaluate_all(
        "all => all.map(one => Math.min(one.getBoundingClientRect().width,"
        " one.getBoundingClientRect().height))"
    )
    assert min(sizes) >= 44
    first = page.locator(".hands li").first
    expect(first).to_contain_text("FV-2 ferments: not read yet")
    plan.locator("a").filter(has_text="FV-1").tap()
    expect(page.get_by_role("heading", level=1)).to_contain_text("FV-1")
    page.get_by_role("link", name="Note a reading").first.tap()
    expect(page.get_by_label("Fermenter")).to_have_value("FV-1")


@pytest.mark.parametrize("scheme", ["light", "dark", "forced"])
def test_in_the_dark_and_without_colour(full, browser_page, axe, scheme):
    page = browser_page("tablet", user=full.operator)
    if scheme == "forced":
        page.emulate_media(forced_colors="active", reduced_motion="reduce")
    else:
        page.emulate_media(color_scheme=scheme)
    page.goto("/")
    shot(page, f"floor-{scheme}")
    assert axe(page) == []


def test_a_shelf_of_bottles_is_no_grain(full, browser_page):
    from distillery.models import Material

    Material.objects.create(
        premises=full.premises, code="BOT", name="Bottle", kind="bottle", unit="each"
    )
    full.record(
        "receive-material", "2026-01-05 10:00", material="BOT", quantity="600", vessel="SHELF",
        supplier="Bay Glass (invented)",
    )  # fmt: skip
    page = browser_page("tablet", user=full.operator)
    page.goto("/vessels/SHELF/")
    acts = page.locator("main .acts a").all_inner_texts()
    assert acts[0] == "Receive a material"
    assert "Mill grain" not in acts
    page.goto("/vessels/BIN-1/")
    assert page.locator("main .acts a").first.inner_text() == "Mill grain"


def test_a_vessel_stands_where_it_was_put(full, browser_page):
    VesselSheet.objects.filter(vessel__code="FV-2").update(x=95, y=10)
    VesselSheet.objects.filter(vessel__code="FV-1").update(x=50, y=10)
    page = browser_page("tablet", user=full.operator)
    page.goto("/")
    plan = page.locator("svg.plan:visible")
    left = {
        code: plan.locator("a").filter(has_text=code).bounding_box()["x"]
        for code in ("FV-1", "FV-2")
    }
    assert left["FV-2"] - left["FV-1"] > 100


@SIZES
def test_no_word_leaves_its_place(full, browser_page, size):
    name = "Bourbon whisky designate of the north warehouse, second floor"
    put(full, "storage", "S-2", "26N99", wine="40", proof="38", class_code="whisky", name=name)
    page = browser_page(size, user=full.operator)
    page.goto("/")
    plan = page.locator("svg.plan:visible")
    expect(plan.locator("a").filter(has_text="S-2").locator("title")).to_contain_text(name)
    over = plan.locator("a text").evaluate_all(
        "all => all.map(one => one.getBBox().x + one.getBBox().width).filter(right => right > 154)"
    )
    assert over == []  # the place of a vessel is 154 wide
