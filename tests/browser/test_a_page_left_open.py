"""A form that lies open while the shift goes on: its time, units and rows, what changed since."""

from datetime import datetime, timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from distillery.models import Reading
from ledger.models import Entry
from tests.browser.test_recording_by_touch import confirm, world  # noqa: F401

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
READING = "/record/ferment-reading/?vessel=FV-1"
STAMP = "%Y-%m-%dT%H:%M"
SET = "([box, at]) => { box.value = box.defaultValue = at }"


@pytest.fixture
def page(world, browser_page) -> Page:  # noqa: F811
    return browser_page("tablet", user=world.operator)


def plant_time(world, **back) -> str:  # noqa: F811
    """The plant's time, or so much before, as a form writes it."""
    return f"{timezone.now().astimezone(world.premises.zone) - timedelta(**back):{STAMP}}"


def opened(page: Page, world, **back) -> None:  # noqa: F811
    """The form of a reading as it was drawn so long ago, and the clock under our hand."""
    page.clock.install()
    page.goto(READING)
    box = page.locator("#id_at").element_handle()
    page.evaluate(SET, [box, plant_time(world, **back)])
    page.clock.run_for(11_000)


def test_when_goes_on_while_nobody_sets_it(page, world):  # noqa: F811
    opened(page, world, minutes=20)
    page.get_by_role("textbox", name="Gravity").fill("1.024")
    page.clock.fast_forward("19:00")
    page.get_by_role("button", name="Record it").last.tap()
    expect(page.get_by_text("Reading of FV-1 kept")).to_be_visible()
    taken = Reading.objects.latest("pk").at
    assert timedelta(0) <= timezone.now() - taken < timedelta(minutes=5)


def test_when_stays_as_a_person_set_it(page, world):  # noqa: F811
    opened(page, world, minutes=20)
    mine = plant_time(world, hours=3)
    page.get_by_label("When").fill(mine)
    page.clock.fast_forward("19:00")
    page.get_by_role("textbox", name="Gravity").fill("1.024")
    page.get_by_role("button", name="Record it").last.tap()
    expect(page.get_by_text("Reading of FV-1 kept")).to_be_visible()
    taken = Reading.objects.latest("pk").at.astimezone(world.premises.zone)
    assert taken == datetime.strptime(mine, STAMP).replace(tzinfo=world.premises.zone)


def test_when_goes_on_after_a_refusal_too(page, world):  # noqa: F811
    opened(page, world, minutes=20)
    page.get_by_role("textbox", name="Gravity").fill("1,02")
    page.get_by_role("button", name="Record it").last.tap()
    expect(page.get_by_role("alert")).to_contain_text("write decimals with a point")
    before = page.locator("#id_at").get_attribute("value")
    page.clock.fast_forward("02:00")
    later = datetime.strptime(before, STAMP) + timedelta(minutes=2)
    expect(page.locator("#id_at")).to_have_value(f"{later:{STAMP}}")


def test_the_unit_chosen_for_a_field_is_there_the_next_time(page, world):  # noqa: F811
    page.goto(READING)
    unit = page.get_by_label("Unit of Temperature")
    expect(unit).to_have_value("°F")
    unit.select_option("°C")
    page.goto(READING)
    expect(unit).to_have_value("°C")
    page.get_by_role("textbox", name="Gravity").fill("1.024")
    page.locator("#id_temperature").fill("29")
    page.get_by_role("button", name="Record it").last.tap()
    # 29 °C is 84.2 °F by the definition of the scales.
    expect(page.get_by_text("Reading of FV-1 kept: SG 1.0240 · 84.2 °F")).to_be_visible()


def test_the_pad_does_not_slide_away_under_the_finger(page, world):  # noqa: F811
    page.goto("/record/regauge/?vessel=S-1")
    page.locator("#id_vessels-0-proof").tap()
    expect(page.get_by_role("group", name="Number pad")).to_be_visible()
    page.get_by_text("Other ways").first.tap()
    why = page.locator("#id_vessels-0-why_not_weighed")
    why.tap()
    expect(why).to_be_focused()
    why.fill("no scale here")
    expect(page).to_have_url("/record/regauge/?vessel=S-1")


def test_more_rows_open_where_they_were_added(page, world):  # noqa: F811
    page.goto("/record/mash/?into=FV-1")
    rows = page.locator("#id_enzymes")
    while not rows.is_visible():
        page.get_by_role("button", name="Next").tap()
    rows.get_by_role("button", name="Add rows").tap()
    expect(page.locator("#id_enzymes-7-quantity")).to_be_visible()


def test_a_fermenter_filled_since_the_page_opened_shows_what_it_holds_now(page, world):  # noqa: F811
    page.goto("/record/receive-distilling-material/?into=FV-2")
    address = page.url
    before = Entry.objects.count()
    expect(page.locator(".live")).to_contain_text("200.00 gal")
    part = {"vessel": "FV-1", "volume": "50 gal", "rest_stays": True}
    world.record("move-wash", "2026-01-08 08:00", sources=[part], into="FV-2")
    page.locator("#id_volume").fill("60 gal")
    expect(page.locator(".live")).to_contain_text("250.00 gal")
    assert page.url == address
    assert Entry.objects.count() == before + 1


def test_a_session_lost_at_the_check_page_loses_nothing(page, world):  # noqa: F811
    page.goto("/record/receive-material/?vessel=BIN-2&material=RYE&quantity=90+lb&supplier=Dune")
    page.get_by_role("button", name="Look it over").last.tap()
    expect(page.get_by_role("heading", level=1)).to_contain_text("look it over")
    before = Entry.objects.count()
    page.context.clear_cookies(name="sessionid")
    page.get_by_role("button", name="Record it").tap()
    expect(page.get_by_label("Password")).to_be_visible()
    assert Entry.objects.count() == before
    page.get_by_label("Name").fill("bo")
    page.get_by_label("Password").fill("bo-of-marram")
    page.get_by_role("button", name="Log in").tap()
    expect(page.locator("#id_quantity")).to_have_value("90 lb")
    expect(page.get_by_text("Filled in from what was left here")).to_be_visible()
