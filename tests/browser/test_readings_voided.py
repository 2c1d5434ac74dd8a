"""A gravity in the plant's own unit by the pad, undone at once; a reading voided later."""

import pytest
from playwright.sync_api import expect

from distillery.models import Plant, Reading, ReadingVoid
from tests.browser.test_a_record_by_hand import fit
from tests.browser.test_recording_by_touch import keys
from tests.distillery.operations.plant_floor import mash
from tests.world import make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SIZES = pytest.mark.parametrize("size", ["tablet", "phone"])


@pytest.fixture
def world(transactional_db):
    """A wash in FV-1, read once by the operator."""
    world = make_world()
    mash(world, gravity="1.060")
    world.record(
        "ferment-reading", "2026-01-07 08:00", key="r1", vessel="FV-1", gravity="1.031",
        by=world.operator,
    )  # fmt: skip
    return world


@SIZES
def test_brix_by_the_pad_and_undone(world, browser_page, axe, size):
    Plant.objects.update(gravity_unit="Bx")
    page = browser_page(size, user=world.operator)
    page.goto("/record/ferment-reading/?vessel=FV-1")
    box = page.get_by_role("textbox", name="Gravity")
    expect(page.get_by_label("Unit of Gravity")).to_have_value("°Bx")
    box.tap()
    pad = page.get_by_role("group", name="Number pad")
    expect(pad.get_by_role("button", name="°Bx")).to_have_attribute("aria-pressed", "true")
    keys(page, "7.5")
    expect(box).to_have_value("7.5 °Bx")
    pad.get_by_role("button", name="Close").tap()
    expect(pad).to_be_hidden()
    page.get_by_role("button", name="Record it").last.tap()
    expect(page.get_by_text("Reading of FV-1 kept: 7.5 °Bx")).to_be_visible()
    page.get_by_role("button", name="Undo the reading of FV-1").first.tap()
    expect(page.get_by_text("The reading of FV-1 is voided.")).to_be_visible()
    fit(page, axe)
    row = ReadingVoid.objects.get().reading
    # 1 + 7.5 / (258.6 - 227.1 x 7.5 / 258.2) = 1.0298: brewers' short relation (from memory).
    assert (str(row.gravity), row.by) == ("1.0298", "bo")


@SIZES
def test_a_reading_is_voided_later_with_a_reason(world, browser_page, axe, size):
    page = browser_page(size, user=world.operator)
    page.goto("/vessels/FV-1/")
    page.get_by_role("link", name="Void the reading of 7 Jan 2026 08:00").tap()
    page.wait_for_url("**/record/void-reading/?reading=r1")
    expect(page.get_by_role("combobox", name="Reading")).to_have_value("r1")
    page.get_by_role("textbox", name="Why").fill("Read of FV-2")
    fit(page, axe)
    page.get_by_role("button", name="Record it").last.tap()
    expect(page.locator("main").get_by_text("Read of FV-2")).to_be_visible()
    page.goto("/vessels/FV-1/")
    expect(page.locator("tr.voided")).to_contain_text("Voided by bo")
    expect(page.locator("tr.voided")).to_contain_text("Read of FV-2")
    fit(page, axe)
    assert not Reading.objects.standing().filter(key="r1").exists()
