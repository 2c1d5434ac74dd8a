"""Recording by hand: the pad, the units, the cards, the draft, the figures as they come, the undo.

Target sizes: WCAG 2.2, success criterion 2.5.5 (44 CSS px); 60 px for the main act is the house's.
"""

import os
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from distillery.models import Reading
from ledger.models import Entry
from tests.browser.conftest import until
from tests.browser.test_a_record_by_hand import OVERFLOW, fit, title
from tests.distillery.stock import put
from tests.world import World, make_barrels, make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SIZES = pytest.mark.parametrize("size", ["tablet", "upright", "phone"])
SHOTS = os.environ.get("SHOTS")


def shot(page: Page, name: str, *, full: bool = True) -> None:
    """A picture for a person to look at, where a folder for them is named."""
    if SHOTS:
        page.screenshot(path=Path(SHOTS) / f"{name}.png", full_page=full)


@pytest.fixture
def world(transactional_db) -> World:
    """Wash in two fermenters, whisky in a tank, twelve empty barrels."""
    world = make_world()
    make_barrels(world.premises, *(f"B-{n}" for n in range(101, 113)))
    world.record(
        "receive-material", "2026-01-05 09:00", material="CORN", quantity="2,000 lb",
        vessel="BIN-1", supplier="Dune Grain (invented)",
    )  # fmt: skip
    for code in ("FV-1", "FV-2"):
        grains = [{"lot": "G-1", "quantity": "400 lb"}]
        world.record("mash", "2026-01-06 09:00", grains=grains, into=code, wash="200 gal")
    world.record(
        "ferment-reading", "2026-01-07 08:00", vessel="FV-1", gravity="1.031", temperature="84 F"
    )
    put(world, "storage", "S-1", "26A01", wine="200", proof="240", class_code="whisky",
        type_code="bourbon", name="Bourbon")  # fmt: skip
    return world


def keys(page: Page, figures: str) -> None:
    """Tap the figures on the pad."""
    for figure in figures:
        page.wait_for_timeout(80)  # a hand; quicker hits of one key are taken for a drop
        name = "Point" if figure == "." else figure
        page.get_by_role("group", name="Number pad").get_by_role(
            "button", name=name, exact=True
        ).tap()


def confirm(page: Page) -> None:
    """On the check page: answer every question with yes and record."""
    title(page, "look it over")
    for one in page.locator("main").get_by_role("checkbox").all():
        one.check()
    page.get_by_role("button", name="Record it").tap()
    expect(page.get_by_text("Likely next")).to_be_visible()


@SIZES
def test_a_reading_by_the_pad(world, browser_page, axe, size):
    page = browser_page(size, user=world.operator)
    page.goto("/record/ferment-reading/?vessel=FV-1")
    expect(page.locator(".live")).to_contain_text("SG 1.0310")
    page.locator("#id_gravity").tap()
    pad = page.get_by_role("group", name="Number pad")
    expect(pad).to_be_visible()
    shot(page, f"{size}-pad", full=False)
    fit(page, axe)
    keys(page, "1.0299")
    pad.get_by_role("button", name="Erase the last figure").tap()
    keys(page, "8")
    pad.get_by_role("button", name="Undo").tap()
    pad.get_by_role("button", name="Next").tap()
    expect(page.locator("#id_gravity")).to_have_value("1.029")
    keys(page, "29")
    pad.get_by_role("button", name="°C").tap()
    expect(page.locator("#id_temperature")).to_have_value("29 °C")
    pad.get_by_role("button", name="Below 0").tap()
    expect(page.locator("#id_temperature")).to_have_value("-29 °C")
    shot(page, f"{size}-pad-below", full=False)
    fit(page, axe)
    pad.get_by_role("button", name="Below 0").tap()
    expect(page.locator("#id_temperature")).to_have_value("29 °C")
    pad.get_by_role("button", name="Close").tap()
    expect(pad).to_be_hidden()
    page.get_by_role("button", name="Record it").last.tap()
    expect(page.get_by_text("Reading of FV-1 kept: SG 1.0290 · 84.2 °F")).to_be_visible()
    shot(page, f"{size}-readings")
    fit(page, axe)
    assert Reading.objects.filter(vessel__code="FV-1").count() == 2


def test_a_hydrometer_below_zero_is_typed_on_the_pad(world, browser_page):
    page = browser_page("tablet", user=world.operator)
    page.goto("/record/ferment-reading/?vessel=FV-1")
    page.locator("#id_gravity").tap()
    pad = page.get_by_role("group", name="Number pad")
    expect(pad.get_by_role("button", name="SG")).to_be_visible()
    expect(pad.get_by_role("button", name="Below 0")).to_have_count(0)  # no gravity is
    pad.get_by_role("button", name="°Bx").tap()
    pad.get_by_role("button", name="Below 0").tap()
    keys(page, "1.2")
    expect(page.locator("#id_gravity")).to_have_value("-1.2 °Bx")
    pad.get_by_role("button", name="Erase the last figure").tap()
    pad.get_by_role("button", name="Close").tap()
    expect(pad).to_be_hidden()
    page.get_by_role("button", name="Record it").last.tap()
    # -1 °Bx is 0.9961 by the equation of ledger/brix.py
    expect(page.get_by_text(re.compile("Reading of FV-1 kept: SG 0.996"))).to_be_visible()


def test_a_mouse_and_keys_never_meet_the_pad(world, browser_page):
    page = browser_page("tablet", user=world.operator)
    page.goto("/record/ferment-reading/?vessel=FV-1")
    page.locator("#id_gravity").click()
    page.keyboard.type("1.028")
    page.keyboard.press("Tab")
    expect(page.get_by_role("group", name="Number pad")).to_be_hidden()
    page.keyboard.press("Enter")
    expect(page.locator("#id_gravity")).to_have_value("1.028")


@SIZES
def test_the_figures_come_as_one_types(world, browser_page, axe, size):
    page = browser_page(size, user=world.operator)
    page.goto("/record/reduce/?vessel=S-1")
    expect(page.locator(".live")).to_contain_text("240.00 PG")
    page.locator("#id_water").fill("41 gal")
    page.locator("#id_gauge-volume").fill("240 gal")
    page.locator("#id_gauge-temperature").fill("60 F")
    page.locator("#id_gauge-proof").fill("100")
    live = page.locator(".live")
    expect(live).to_contain_text("proof gallons")
    expect(live).to_contain_text("room for")
    shot(page, f"{size}-live")
    fit(page, axe)


@SIZES
def test_a_long_form_goes_card_by_card(world, browser_page, axe, size):
    page = browser_page(size, user=world.operator)
    page.goto("/record/mash/?into=FV-1")
    place = page.locator(".step-place")
    expect(place).to_contain_text("1 of")
    fit(page, axe)
    shot(page, f"{size}-card")
    page.locator("#id_grains-0-quantity").fill("100 lb")
    page.get_by_role("button", name="Next").tap()
    expect(place).to_contain_text("2 of")
    expect(page.locator("#id_grains-0-quantity")).to_be_hidden()
    page.get_by_role("button", name="Back").tap()
    expect(page.locator("#id_grains-0-quantity")).to_have_value("100 lb")
    page.get_by_role("button", name="All on one page").tap()
    page.get_by_role("button", name="Look it over").last.tap()
    expect(page.get_by_role("alert")).to_be_visible()
    page.get_by_role("button", name="One card at a time").tap()
    page.locator(".problem a").first.tap()
    until(page, "() => document.activeElement.matches('.step:not([hidden]) *')")
    fit(page, axe)


def test_a_draft_outlives_a_reload_and_a_lost_session(world, browser_page, axe):
    page = browser_page("tablet", user=world.operator)
    page.goto("/record/receive-material/?vessel=BIN-2")
    key = page.locator("input[name=key]").get_attribute("value")
    page.get_by_label("Material").select_option("RYE")
    page.locator("#id_quantity").fill("150 kg")
    page.reload()
    expect(page.locator("#id_quantity")).to_have_value("150 kg")
    expect(page.get_by_text("Filled in from what was left here")).to_be_visible()
    expect(page.locator("input[name=key]")).to_have_value(key)
    assert axe(page) == []
    page.locator("#id_supplier").fill("Dune Grain (invented)")
    page.context.clear_cookies(name="sessionid")
    page.get_by_role("button", name="Look it over").last.click()
    expect(page.get_by_label("Password")).to_be_visible()
    page.get_by_label("Name").fill("bo")
    page.get_by_label("Password").fill("bo-of-marram")
    page.get_by_role("button", name="Log in").click()
    expect(page.locator("#id_supplier")).to_have_value("Dune Grain (invented)")
    expect(page.locator("input[name=key]")).to_have_value(key)
    page.get_by_role("button", name="Look it over").last.click()
    confirm(page)
    until(page, "() => !Object.keys(localStorage).some(one => one.startsWith('draft:'))")
    page.goto("/record/receive-material/")
    expect(page.locator("#id_supplier")).to_have_value("")


@SIZES
def test_what_was_recorded_is_undone_in_one_tap(world, browser_page, axe, size):
    page = browser_page(size, user=world.operator)
    form = "/record/receive-material/?vessel=BIN-2&material=RYE&quantity=90+lb&supplier=Dune"
    page.goto(form)
    page.get_by_role("button", name="Look it over").last.tap()
    confirm(page)
    shot(page, f"{size}-done")
    fit(page, axe)
    # One more: the scan may have taken the first one's minute.
    page.goto(form)
    page.get_by_role("button", name="Look it over").last.tap()
    confirm(page)
    number = Entry.objects.order_by("number").last().number
    page.get_by_role("button", name="Undo").tap()
    expect(page.get_by_text(f"Undone by № {number + 1}.")).to_be_visible()
    assert Entry.objects.get(number=number + 1).reverses.number == number


@SIZES
def test_a_row_of_barrels_counts_itself(world, browser_page, axe, size):
    page = browser_page(size, user=world.operator)
    page.goto("/fill/?vessel=S-1")
    expect(page.get_by_label("Code, scanned or typed")).to_have_value("B-101")
    for gross, told in (("165.5", "1 barrel"), ("166", "2 barrels"), ("164.5", "3 barrels")):
        page.get_by_label("Gross weight", exact=True).fill(gross)
        page.get_by_role("button", name="Add this barrel").last.tap()
        expect(page.locator(".totals")).to_contain_text(told)
        page.wait_for_load_state()
    expect(page.get_by_label("Code, scanned or typed")).to_have_value("B-104")
    shot(page, f"{size}-fill-row")
    fit(page, axe)
    page.get_by_label("Code, scanned or typed").fill("B-102")
    page.get_by_label("Gross weight", exact=True).fill("165")
    page.get_by_role("button", name="Add this barrel").last.tap()
    expect(page.get_by_role("alert")).to_contain_text("B-102 is in the row already.")
    fit(page, axe)
    page.get_by_role("button", name="Look the row over").tap()
    confirm(page)
    assert Entry.objects.order_by("number").last().movements.filter(purpose="fill").count() >= 3


@SIZES
def test_a_round_of_readings(world, browser_page, axe, size):
    page = browser_page(size, user=world.operator)
    page.goto("/readings/")
    fit(page, axe)
    page.locator("input[name=FV-1-gravity]").fill("1.020")
    page.locator("input[name=FV-2-gravity]").fill("1,02")
    page.get_by_role("button", name="Keep the readings").tap()
    expect(page.get_by_role("alert")).to_contain_text("a comma only parts thousands")
    expect(page.locator("input[name=FV-2-gravity]")).to_have_value("1,02")
    fit(page, axe)
    shot(page, f"{size}-round-wrong")
    page.locator("input[name=FV-2-gravity]").fill("1.025")
    page.get_by_role("button", name="Keep the readings").tap()
    expect(page.get_by_text("Kept: FV-2.")).to_be_visible()
    assert Reading.objects.count() == 3
    assert page.evaluate(OVERFLOW) == 0
