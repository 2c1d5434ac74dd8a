"""A gin run on its own page: read, cut, watched by a second tablet, stopped, loaded, closed."""

import re
import time
from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from distillery.models import Reading, StillReading
from ledger.models import Entry
from tests.browser.conftest import SIZES
from tests.browser.test_a_record_by_hand import title
from tests.distillery.operations.plant_floor import charge, deliver, gauge, mash
from tests.distillery.stock import put
from tests.world import ZONE, make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
KEY_MS = 120  # between two keys of a hand on a tablet; our own figure


def ago(minutes: int) -> str:
    return f"{(timezone.now() - timedelta(minutes=minutes)).astimezone(ZONE):%Y-%m-%d %H:%M}"


@pytest.fixture
def plant(transactional_db):
    """The plant with juniper at hand, a wash that ferments, and a gin run charged."""
    world = make_world()
    deliver(world, "JUNIPER", "2,000 g", "SHELF")
    mash(world, gravity="1.060", at=ago(3000))
    world.record("ferment-reading", ago(1500), vessel="FV-1", gravity="1.031", temperature="84 F")
    put(world, "redistil", "NS", "N-1", wine="20", proof="38")
    charge(world, "NS", family="gin", type_code="", water="30 gal", lot="RUN-1", at=ago(50))
    return world


def refresh(page) -> None:
    """What the page does every twenty seconds, at once."""
    page.evaluate(
        """() => new Promise((done) => {
          document.addEventListener("htmx:afterSettle", done, { once: true });
          document.dispatchEvent(new Event("visibilitychange"));
        }).then(() => null)"""
    )


def read(page, head: str, hydrometer: str, warmth: str) -> float:
    """Note a reading by hand; the seconds it took."""
    began = time.monotonic()
    for name, value in (
        ("temperature", head), ("reading", hydrometer), ("reading_temperature", warmth),
    ):  # fmt: skip
        page.locator(f"#id_{name}").click()
        page.keyboard.type(value, delay=KEY_MS)
    page.get_by_role("button", name="Note it").click()
    expect(page.get_by_text("Noted.")).to_be_visible()
    return time.monotonic() - began


def record(page) -> None:
    """Look it over and record it, whatever the steps of the form."""
    page.locator("button.main:visible").last.press("Enter")
    title(page, "look it over")
    page.get_by_role("button", name="Record it").press("Enter")
    page.wait_for_url("**/done/")


def test_a_gin_run_from_the_charge_to_its_balance(plant, browser_page, axe):
    page = browser_page("tablet", user=plant.operator)
    second = browser_page("upright", user=plant.owner)
    page.goto("/")
    page.get_by_role("link", name="Watch the run").first.click()
    second.goto("/runs/RUN-1/")
    # Charged 50 minutes before, to be read each 15; getting here takes a while.
    expect(page.locator("main")).to_contain_text(
        re.compile("Not read yet. The next was due 3[5-9] min ago")
    )
    taken = read(page, "172.5", "171.8", "66")
    print(f"a still reading by hand: {taken:.1f} s, 4 taps and {len('172.5171.866')} keys")
    # Another tablet sees it without being touched, and one it writes is lost to nobody.
    refresh(second)
    expect(second.locator("#run-top")).to_contain_text("172.5 °F")
    read(second, "173", "170", "66")
    assert Reading.objects.filter(lot__code="RUN-1").count() == 2
    # One tap a cut.
    page.reload()
    page.get_by_role("button", name="Heads from now").click()
    expect(page.get_by_text("Heads run since")).to_be_visible()
    page.get_by_role("button", name="Hearts from now").click()
    expect(page.get_by_text("Hearts run since")).to_be_visible()
    assert list(StillReading.objects.exclude(cut="").values_list("cut", flat=True)) == [
        "heads", "hearts",
    ]  # fmt: skip
    expect(page.locator(".curve-wide .curve-event-words")).to_have_text(["heads", "hearts"])
    link = page.get_by_role("link", name="Record the heads")
    expect(link).to_have_attribute("href", re.compile("fraction=heads"))
    assert axe(page) == []


def test_stopped_loaded_and_run_on(plant, browser_page, axe):
    page = browser_page("tablet", user=plant.operator)
    page.goto("/runs/RUN-1/")
    read(page, "172", "170", "66")
    page.get_by_role("link", name="Stop the still").click()
    title(page, "Stop the still")
    expect(page.locator(".caution")).to_have_text(re.compile(r"\w"))
    plant.record("stop-still", ago(10), still="POT", why="basket", by=plant.operator)
    plant.record(
        "load-basket", ago(9), still="POT", botanicals=[{"lot": "G-1", "quantity": "900 g"}],
    )  # fmt: skip
    page.goto("/runs/RUN-1/")
    expect(page.locator("#run-top")).to_contain_text("Stopped since")
    expect(page.get_by_role("link", name="Load the basket")).to_be_visible()
    plant.record("run-on", ago(8), still="POT")
    refresh(page)
    expect(page.locator("#run-top")).not_to_contain_text("Stopped since")
    heads = gauge("0.5 gal", "170")
    plant.record("collect", ago(6), still="POT", fraction="heads", into="RCV-1", gauge=heads)
    hearts = gauge("22 gal", "160")
    plant.record("collect", ago(4), still="POT", fraction="hearts", into="RCV-2", gauge=hearts)
    refresh(page)
    # 0.5 gal at 170 and 22 gal at 160 proof: 0.85 + 35.20 PG of 38 (27 CFR 30.11).
    expect(page.locator("#run-now")).to_contain_text(
        "36.05 PG collected of 38.00 PG charged: 94.9 %"
    )
    page.get_by_role("link", name="Close a run").click()
    title(page, "Close a run")
    record(page)
    page.goto("/runs/RUN-1/")
    assert Entry.objects.order_by("-number").first().operation == "close-run"
    expect(page.locator("main")).to_contain_text("recovered")
    assert axe(page) == []


def test_what_is_typed_survives_a_refresh_and_a_log_in_lost(plant, browser_page, console_errors):
    page = browser_page("tablet", user=plant.operator)
    page.goto("/runs/RUN-1/")
    page.fill("#id_temperature", "174")
    refresh(page)
    expect(page.locator("#id_temperature")).to_have_value("174")
    page.context.clear_cookies()
    refresh(page)
    expect(page.locator("#run-now")).to_contain_text("You are signed out")
    expect(page.locator("#id_temperature")).to_have_value("174")


def test_what_is_typed_survives_a_reload_until_it_is_noted(plant, browser_page):
    page = browser_page("phone", user=plant.operator)
    page.goto("/runs/RUN-1/")
    page.locator("#id_temperature").press_sequentially("174", delay=KEY_MS)
    page.reload()
    expect(page.get_by_text("not recorded yet")).to_be_visible()
    expect(page.locator("#id_temperature")).to_have_value("174")
    page.get_by_role("button", name="Note it").click()
    expect(page.get_by_text("Noted.")).to_be_visible()
    page.wait_for_load_state()
    page.reload()
    expect(page.locator("#id_temperature")).to_have_value("")
    assert Reading.objects.filter(lot__code="RUN-1").count() == 1


def test_an_unlikely_figure_is_asked_in_its_place(plant, browser_page, axe):
    page = browser_page("phone", user=plant.operator)
    page.goto("/runs/RUN-1/")
    page.fill("#id_temperature", "230")
    page.get_by_role("button", name="Note it").click()
    expect(page.get_by_role("alert")).to_be_visible()
    expect(page.locator("#id_temperature")).to_have_value("230")
    assert axe(page) == []
    page.get_by_label("Yes, keep it").check()
    page.get_by_role("button", name="Note it").click()
    expect(page.get_by_text("Noted.")).to_be_visible()
    assert Reading.objects.filter(lot__code="RUN-1").count() == 1


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("path", ["/runs/RUN-1/", "/vessels/FV-1/"])
def test_each_page_fits_its_screen_and_hands(plant, browser_page, axe, size, scheme, path):
    still = {"still": "POT", "receiver": "RCV-1", "condenser": "64 F", "rate": "2 gal"}
    for minutes, head, cut in ((40, "172", "heads"), (20, "174", "hearts"), (2, "181", "")):
        plant.record(
            "still-reading", ago(minutes), temperature=head, proof="160", level="3 gal",
            cut=cut, **still,
        )  # fmt: skip
    page = browser_page(size, user=plant.operator)
    page.emulate_media(color_scheme=scheme)
    page.goto(path)
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth + 1")
    assert axe(page) == []
    small = page.locator("main button, main .button, main summary, main input:not([type=hidden])")
    heights = small.evaluate_all("all => all.map(one => one.getBoundingClientRect().height)")
    assert min(height for height in heights if height) >= 44  # WCAG 2.2, 2.5.5


def test_without_colour_and_with_forced_colours_the_curve_is_read(plant, browser_page, axe):
    plant.record("still-reading", ago(30), still="POT", temperature="172 F", condenser="64 F")
    plant.record("still-reading", ago(10), still="POT", temperature="176 F", condenser="66 F")
    page = browser_page("tablet", user=plant.operator)
    page.emulate_media(forced_colors="active")
    page.goto("/runs/RUN-1/")
    forms = page.locator(".curve-wide .curve-line").evaluate_all(
        "all => all.map(one => one.className.baseVal)"
    )
    assert forms == ["curve-line solid", "curve-line dashed"]
    expect(page.locator(".curve-wide .curve-end")).to_have_text(
        ["head 176.0 °F", "condenser 66.0 °F"]
    )
    expect(page.locator("#run-curve svg title").first).to_have_text(re.compile("^Run RUN-1"))
    assert axe(page) == []


def test_the_timer_goes_on_without_the_book(plant, browser_page):
    plant.record("still-reading", ago(5), still="POT", temperature="172 F")
    page = browser_page("tablet", user=plant.operator)
    page.clock.install()
    page.goto("/runs/RUN-1/")
    due = page.locator("#run-top .due")
    expect(due).to_contain_text("The next is due in")
    page.route("**/now/", lambda route: route.fulfill(status=204))  # nothing comes of it
    page.clock.fast_forward("02:00")
    expect(due).to_contain_text("Not refreshed since")
    expect(due).to_contain_text(re.compile("The next reading is due in [5-8] min, by this tablet"))
    page.clock.fast_forward("20:00")
    expect(due).to_contain_text(re.compile(r"The next reading was due 1[1-5] min ago"))
    expect(due).to_have_class("due late")
    page.unroute("**/now/")
    page.clock.fast_forward("00:30")
    expect(due).to_contain_text("every 15 min by the plant's setting")
