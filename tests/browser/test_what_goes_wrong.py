"""What a hand, a hose and a bad day do to a form: each ends in a sentence and a kept draft."""

import re

import pytest
from playwright.sync_api import Page, expect

from distillery.models import Reading
from ledger.models import Entry
from tests.browser.conftest import until
from tests.browser.test_recording_by_touch import confirm, world  # noqa: F401

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def page(world, browser_page) -> Page:  # noqa: F811
    return browser_page("tablet", user=world.operator)


def drafted(page: Page, value: str) -> None:
    """Wait until a draft on the tablet holds *value*."""
    until(
        page,
        "value => Object.keys(localStorage).some(one => one.startsWith('draft:')"
        " && localStorage.getItem(one).includes(value))",
        value,
    )


def refused(page: Page, words: str, kept: str) -> None:
    """The sentence stands at the top, what was typed stands in the box and on the tablet."""
    expect(page.get_by_role("alert")).to_contain_text(words)
    drafted(page, kept)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("1,02", "write decimals with a point"),
        ("1.03 gal", "gal is for a volume"),
        ("1" * 60, "too long for a gravity"),
        ("The mash looked fine and smelled of bread. " * 9, "too long for a gravity"),
        ("1.0.2", "is not one number"),
    ],
    ids=["comma", "wrong unit", "stuck key", "pasted paragraph", "two points"],
)
def test_a_figure_that_is_none(page, typed, words):
    page.goto("/record/ferment-reading/?vessel=FV-1")
    page.locator("#id_gravity").fill(typed)
    page.get_by_role("button", name="Record it").last.tap()
    refused(page, words, typed.strip()[:30])
    expect(page.locator("#id_gravity")).to_have_value(
        re.compile(rf"\s*{re.escape(typed.strip())}\s*")
    )


def test_a_double_tap_keeps_one_reading(page):
    page.goto("/record/ferment-reading/?vessel=FV-1")
    page.locator("#id_gravity").fill("1.024")
    page.get_by_role("button", name="Record it").last.dblclick()
    expect(page.get_by_text("Reading of FV-1 kept")).to_be_visible()
    assert Reading.objects.filter(gravity="1.024").count() == 1


def test_a_changed_clock_is_told(page):
    page.goto("/record/ferment-reading/?vessel=FV-1")
    page.locator("#id_gravity").fill("1.024")
    page.get_by_label("When").fill("2031-01-01T10:00")
    page.get_by_role("button", name="Record it").last.tap()
    refused(page, "That lies in the future.", "1.024")


def test_a_question_is_no_wall(page):
    page.goto("/record/ferment-reading/?vessel=FV-1")
    page.locator("#id_gravity").fill("1.2")
    page.get_by_role("button", name="Record it").last.tap()
    expect(page.get_by_role("alert")).to_contain_text("usually lies between 0.980 and 1.150")
    page.wait_for_load_state()  # every tick is on the page by then
    for one in page.locator("main").get_by_role("checkbox").all():
        one.check()
    page.get_by_role("button", name="Record it").tap()
    expect(page.get_by_text("Reading of FV-1 kept")).to_be_visible()


def test_a_tank_filled_up_since_the_page_opened(page, world):  # noqa: F811
    page.goto("/record/receive-material/?vessel=BIN-2&material=CORN&quantity=9+lb&supplier=Dune")
    page.get_by_role("button", name="Look it over").last.tap()
    expect(page.get_by_role("heading", level=1)).to_contain_text("look it over")
    world.record(
        "receive-material", "2026-01-05 10:00", material="CORN", quantity="50 lb",
        vessel="BIN-2", supplier="Dune Grain (invented)",
    )  # fmt: skip
    confirm(page)  # its figure is the same: the other delivery changes nothing of it
    page.goto("/record/mash/?into=FV-1")
    page.get_by_role("button", name="All on one page").tap()
    page.locator("#id_grains-0-lot").select_option("G-1")
    page.locator("#id_grains-0-quantity").fill("100 lb")
    page.locator("#id_wash").fill("90 gal")
    expect(page.locator(".live")).to_contain_text("26.00 gal more than it holds")
    drafted(page, "90 gal")


def test_a_stale_page_shows_what_is_so_now(page, world):  # noqa: F811
    page.goto("/record/reduce/?vessel=S-1&water=10+gal")
    for box, typed in (("volume", "209 gal"), ("temperature", "60 F"), ("proof", "114")):
        page.locator(f"#id_gauge-{box}").fill(typed)
    page.get_by_role("button", name="Look it over").last.tap()
    expect(page.get_by_role("heading", level=1)).to_contain_text("look it over")
    before = Entry.objects.count()
    world.record(
        "sample", "2026-02-01 10:00", vessel="S-1", volume="1 gal", number=1,
        purpose="laboratory", disposition="destroyed",
    )  # fmt: skip
    page.get_by_role("button", name="Record it").tap()
    expect(page.get_by_role("alert")).to_contain_text("Not recorded yet")
    assert Entry.objects.count() == before + 1
    expect(page.locator("main input[value='209 gal']").first).to_be_attached()


def test_a_full_memory_is_said(page):
    page.goto("/record/ferment-reading/?vessel=FV-1")
    page.evaluate("() => { Storage.prototype.setItem = () => { throw new DOMException('full') } }")
    page.locator("#id_gravity").fill("1.024")
    expect(page.get_by_text("memory is full")).to_be_visible()
    page.get_by_role("button", name="Record it").last.tap()
    expect(page.get_by_text("Reading of FV-1 kept")).to_be_visible()
