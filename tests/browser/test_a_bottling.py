"""A bottling in a real browser: its page with picture and table, checks noted by touch."""

import os

import pytest
from playwright.sync_api import expect

from distillery.models import BottleCheck, DatedSetting, Product
from tests.distillery.operations.bottling_line import bottle, opened, supplies
from tests.world import World, make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
DAY = "2026-03-21"
FORMS = (
    "bottle", "calibrate-filler", "break-bottles", "recase", "relabel", "reclose", "move-cases",
    "scrap-supplies",
)  # fmt: skip
CHECKS = [
    ("09:00", ["748.4", "749.2", "751.0"]), ("10:00", ["749.8", "752.1", "750.4"]),
    ("11:00", ["733.9", "751.2", "752.6"]), ("12:00", ["752.0", "753.4", "751.1"]),
]  # fmt: skip


@pytest.fixture
def world(transactional_db) -> World:
    """Gin being bottled out of supplies on the shelf, four checks so far, one of them out."""
    world = make_world()
    lots = supplies(world, bottle=600, closure=1000)
    Product.objects.filter(code="GIN-750").update(tare_g="480")
    DatedSetting.objects.create(
        premises=world.premises, name="check_minutes", value="60", effective="2026-01-01"
    )
    opened(world)
    for hour, fills in CHECKS:
        rows = [{"volume": f"{fill} mL"} for fill in fills]
        out = {"corrective_action": "stopped, spout 2 cleaned"} if "733.9" in fills else {}
        world.record(
            "bottle-check", f"{DAY} {hour}", vessel="BT-1", line="1", fills=rows, proof="45.1 %",
            **out,
        )  # fmt: skip
    used = [
        {"lot": lots["bottle"], "used": 245, "scrapped": 2},
        {"lot": lots["closure"], "used": 245},
    ]
    bottle(world, f"{DAY} 12:30", cases=20, loose=5, materials=used)
    world.record("break-bottles", f"{DAY} 13:00", vessel="STORE", bottles=1, how="fell")
    return world


def shot(page, name: str) -> None:
    """A picture for a person to look at, where one is wanted."""
    if folder := os.environ.get("LOOK_AT"):
        page.screenshot(path=f"{folder}/{name}.png", full_page=True)


@pytest.mark.parametrize("size", ["tablet", "phone"])
def test_the_page_of_a_bottling_is_readable(world, browser_page, axe, size):
    page = browser_page(size, user=world.operator)
    serial = BottleCheck.objects.first().run.serial
    for path in (f"/bottlings/{serial}/", "/bottlings/", "/vessels/BT-1/", "/"):
        page.goto(path)
        shot(page, f"{size}{path.replace('/', '-')}")
        assert axe(page) == [], path
        wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert wide <= 0, path
    page.goto(f"/bottlings/{serial}/")
    expect(page.locator(".fill-chart circle")).to_have_count(11)
    expect(page.locator(".fill-chart .fill-out")).to_have_count(1)
    expect(page.locator(".fill-chart svg title")).to_contain_text("Fill of bottles")


@pytest.mark.parametrize("size", ["tablet", "phone"])
def test_a_check_is_noted_by_hand(world, browser_page, axe, size):
    page = browser_page(size, user=world.operator)
    page.goto("/record/bottle-check/?vessel=BT-1")
    shot(page, f"{size}-check-form")
    assert axe(page) == []
    expect(page.get_by_text("target 706.1 g net, 1,186.1 g with the bottle")).to_be_visible()
    page.locator("#id_fills-0-gross").fill("1160 g")
    page.locator("#id_at").fill("2026-03-21T12:45")
    page.locator(".step-acts").get_by_role("button", name="Record it").click()
    shot(page, f"{size}-check-preview")
    expect(page.get_by_text("1 of 1 fills out").first).to_be_visible()
    expect(page.get_by_text("no correction is noted").first).to_be_visible()
    assert axe(page) == []


def test_each_form_of_the_line_opens(world, browser_page, axe):
    page = browser_page("phone", user=world.operator)
    for slug in FORMS:
        page.goto(f"/record/{slug}/")
        shot(page, f"form-{slug}")
        assert axe(page) == [], slug


def test_weights_on_the_bench(world, browser_page, axe):
    page = browser_page("tablet", user=world.reader)
    page.goto("/bench/bottle-weight/?size=750+mL&proof=90&tare=480+g&temperature=72")
    shot(page, "bench")
    expect(page.get_by_text("1,186.1 g")).to_be_visible()
    assert axe(page) == []
