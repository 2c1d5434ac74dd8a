"""One person's day on a touch tablet, from the mash to the invoice: all of it by taps.

The figures are our own. Their arithmetic is that of 27 CFR part 30: at 60 degrees Fahrenheit
volume and hydrometer need no correction (30.23, 30.62), and proof gallons are wine gallons times
proof over 100 (30.11, 30.51). A US gallon is 231 cubic inches (30.11), which is 3.785411784 L.
"""

from datetime import timedelta
from decimal import ROUND_HALF_UP, Decimal
from io import StringIO

import pytest
from django.core.management import call_command
from django.utils import timezone
from playwright.sync_api import expect

from distillery.models import Reading
from ledger.models import Entry, Holding, Movement
from tests.browser.at_the_tablet import Day
from tests.browser.test_recording_by_touch import SIZES
from tests.distillery.operations.bottling_line import supplies
from tests.distillery.stock import put
from tests.world import ZONE, World, make_barrels, make_vessel, make_world

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SIX = [f"B-{n}" for n in range(101, 107)]
LITERS = Decimal("3.785411784")


def ago(**span: int) -> str:
    """A plant time that long ago."""
    return f"{(timezone.now() - timedelta(**span)).astimezone(ZONE):%Y-%m-%d %H:%M}"


@pytest.fixture
def plant(transactional_db) -> World:
    """The evening before: grain, a wash that works, low wines, new make, old barrels, glass."""
    world = make_world()
    make_vessel(world.premises, "FORE", "tote", 20)
    make_barrels(world.premises, *SIX, "B-201", "B-202")
    for bin_code, grain, much in (("BIN-1", "CORN", "2,000 lb"), ("BIN-2", "MALT", "500 lb")):
        world.record(
            "receive-material", ago(days=20), material=grain, quantity=much, vessel=bin_code,
            supplier="Dune Grain (invented)",
        )  # fmt: skip
    grains = [{"lot": "G-1", "quantity": "400 lb"}]
    world.record(
        "mash", ago(days=3), grains=grains, into="FV-1", wash="200 gal", gravity="1.060"
    )  # fmt: skip
    whisky = {"class_code": "whisky", "type_code": "bourbon", "at": ago(days=30)}
    low_wines, new_make, old = "Low wines of R-1", "Bourbon whisky designate", "Bourbon whisky"
    put(
        world, "production", "FEINTS", "LW-1", wine="60", proof="51", stage="fraction",
        name=low_wines, **whisky,
    )  # fmt: skip
    put(world, "storage", "S-1", "26A01", wine="65", proof="78", name=new_make, **whisky)
    whisky |= {"wood": "new", "aged_from": timezone.now().date() - timedelta(days=1500)}
    for code in ("B-201", "B-202"):
        put(world, "storage", code, f"OLD-{code}", wine="13", proof="15.08", name=old, **whisky)
    supplies(world, at=ago(days=9), bottle=600, closure=600)
    return world


def mash(day: Day) -> None:
    """Corn and malt into the empty fermenter."""
    day.vessel("FV-2")
    day.look("vessel-empty")
    day.act("Mash")
    day.choose("grains-0-lot", "G-1")
    day.put("grains-0-quantity", "350")
    day.choose("grains-1-lot", "G-2")
    day.put("grains-1-quantity", "60")
    day.look("mash-grain")
    day.put("wash", "190")
    day.put("gravity", "1.058")
    day.record("mash")


def readings(day: Day) -> None:
    """The wash that waits for one, and the new one on the card of all."""
    day.floor()
    day.look("floor-morning")
    day.hand("FV-1", "reading")
    day.heading("Note a reading")
    expect(day.page.get_by_role("group", name="Number pad")).to_be_visible()
    day.keys("1.021")
    day.pad("Next")
    day.keys("84")
    day.look("reading-pad")
    day.pad("Record it")
    expect(day.page.get_by_text("Reading of FV-1 kept: SG 1.0210")).to_be_visible()
    day.look("reading-kept")
    day.page.wait_for_load_state()
    day.page.locator("input[name=FV-2-gravity]").tap()
    day.keys("1.057")
    day.pad("Keep the readings")
    expect(day.page.get_by_text("Kept: FV-2.")).to_be_visible()
    day.look("round-kept")


def charge(day: Day) -> None:
    """Low wines above 40 per cent: the caution is ticked."""
    day.floor()
    day.vessel("FEINTS")
    day.look("low-wines")
    day.act("Charge a still")
    expect(day.box("sources-0-vessel")).to_have_value("FEINTS")
    expect(day.box("type_code")).to_have_value("bourbon")
    day.choose("still", "POT")
    day.record("charge", "about 42.5 % ABV")
    day.page.get_by_role("link", name="Back to run").tap()
    day.heading("Run")


def watch(day: Day, head: str, hydrometer: str) -> None:
    """A reading on the run's page."""
    day.figure("temperature", head)
    day.pad("Next")
    day.keys(hydrometer)
    day.pad("Next")
    day.keys("60")
    day.pad("Note it")
    expect(day.page.get_by_text("Noted.")).to_be_visible()
    expect(day.page.locator("#run-top")).to_contain_text(f"{float(head):.1f} °F")


def cut(day: Day, fraction: str) -> None:
    """One tap."""
    day.page.get_by_role("button", name=f"{fraction} from now").tap()
    expect(day.page.locator("#run-now")).to_contain_text(f"{fraction} run since")


def collect(day: Day, fraction: str, into: str, volume: str, proof: str) -> None:
    """The gauge of a fraction, and back to the run."""
    day.page.get_by_role("link", name=f"Record the {fraction}").tap()
    day.heading("Collect a fraction")
    expect(day.box("fraction")).to_have_value(fraction)
    day.choose("into", into)
    day.gauge(volume, proof)
    day.record(f"collect-{fraction}")
    day.page.get_by_role("link", name="Back to run").tap()
    expect(day.page.locator("#run-collected")).to_be_visible()


def still(day: Day) -> None:
    """Readings, cuts, gauges, and the balance at the close."""
    day.floor()
    day.hand("POT", "Watch the run")
    day.heading("Run")
    watch(day, "174.5", "158")
    day.look("run-read")
    cut(day, "Heads")
    cut(day, "Hearts")
    watch(day, "178", "142")
    cut(day, "Tails")
    day.look("run-cuts")
    collect(day, "heads", "FORE", "1.5", "150")
    collect(day, "hearts", "RCV-1", "30", "120")
    collect(day, "tails", "FEINTS", "20", "50")
    expect(day.page.locator("#run-now")).to_contain_text("48.25 PG collected of 51.00 PG charged")
    day.look("run-collected")
    day.page.get_by_role("link", name="Close a run").tap()
    day.heading("Close a run")
    day.record("close")
    day.page.get_by_role("link", name="Back to run").tap()
    expect(day.page.get_by_text("94.6 %").first).to_be_visible()
    day.look("run-closed")


def production_gauge(day: Day) -> None:
    """What needs a hand next: the hearts, and nothing of the feints."""
    day.floor()
    day.look("floor-after-the-run")
    expect(day.page.locator(".hands")).not_to_contain_text("FEINTS")
    expect(day.page.locator(".hands")).not_to_contain_text("FORE")
    day.hand("RCV-1", "Production gauge")
    day.heading("Production gauge")
    day.gauge("30", "120")
    day.choose("account", "storage")
    day.choose("into", "S-1")
    day.put("distilled_at", "142")
    expect(day.box("type_code")).to_have_value("bourbon")
    day.record("production-gauge")


def fill(day: Day) -> None:
    """Six barrels in a row, metered."""
    day.floor()
    day.vessel("S-1")
    day.look("tank")
    day.act("Fill barrels")
    day.page.get_by_role("link", name="One barrel at a time").tap()
    day.heading("Fill barrels in a row")
    for number, code in enumerate(SIX, 1):
        expect(day.page.get_by_label("Code, scanned or typed")).to_have_value(code)
        day.figure("new-volume", "14.5")
        day.pad("Add this barrel")
        barrels = f"{number} barrel{'' if number == 1 else 's'}"
        expect(day.page.locator(".totals")).to_contain_text(barrels)
    day.look("fill-row")
    expect(day.page.get_by_role("group", name="Number pad")).to_be_hidden()  # none is left to fill
    day.page.get_by_role("button", name="Look the row over").tap()
    day.heading("look it over")
    day.look("fill-check")
    day.page.get_by_role("button", name="Record it").tap()
    expect(day.page.get_by_text("Likely next")).to_be_visible()
    day.look("fill-done")


def batch(day: Day) -> None:
    """Two old barrels dumped, proofed down, gauged to bottle."""
    day.floor()
    day.page.get_by_role("link", name="Every barrel, its place and age").tap()
    day.heading("Barrels")
    day.look("barrels")
    day.page.get_by_role("link", name="B-201", exact=True).first.tap()
    day.heading("B-201")
    day.look("barrel")
    day.act("Dump to processing")
    day.choose("vessels-1-vessel", "B-202")
    day.choose("into", "BT-1")
    day.gauge("25", "115")
    day.record("dump")
    day.page.get_by_role("link", name="Reduce with water").tap()
    day.heading("Reduce with water")
    day.put("to_proof", "92")
    day.record("reduce")
    day.page.get_by_role("link", name="Open a bottling").tap()
    day.heading("Open a bottling")
    day.choose("product", "BOURBON-750")
    day.gauge("31.2", "92")
    day.record("open-bottling")


def bottle(day: Day) -> None:
    """Fill and proof of one bottle checked, then ten cases."""
    day.floor()
    day.look("floor-bottling")
    day.hand("BT-1", "Check bottles")
    day.heading("Check bottles")
    day.put("fills-0-volume", "750")
    day.put("proof", "92")
    day.to_the_end()
    day.look("check-form")
    day.page.locator(".step-acts button.main").tap()
    day.heading("bottles checked")
    day.look("check-kept")
    day.floor()
    day.vessel("BT-1")
    day.look("bottling-tank")
    day.act("Bottle")
    day.put("cases", "10")
    day.choose("store", "STORE")
    day.record("bottle")


def remove(day: Day) -> None:
    """Four cases leave with their tax determined."""
    day.floor()
    day.vessel("STORE")
    day.look("store")
    day.act("Remove from bond")
    day.box("document").fill("INV-77")
    day.box("consignee").fill("Harbor Wholesale (invented)")
    day.box("initials").fill("bo")
    bottled = day.box("rows-0-lot").locator("option").filter(has_text="Point bourbon")
    day.choose("rows-0-lot", bottled.get_attribute("value"))
    day.put("rows-0-cases", "4")
    day.record("remove")
    day.page.get_by_role("link", name="The whole entry").tap()
    expect(day.page.get_by_role("link", name="Cancel an invoice")).to_be_visible()
    day.look("invoice")
    day.floor()
    day.look("floor-evening")


PARTS = (mash, readings, charge, still, production_gauge, fill, batch, bottle, remove)


def cents(figure: Decimal) -> int:
    """Hundredths, half up (27 CFR 30.51 rounds so)."""
    return int((figure * 100).quantize(Decimal(1), ROUND_HALF_UP))


def proof_gallons(operation: str, purpose: str, person: str) -> int:
    """Hundredths that the day's movements of one kind carry."""
    rows = Movement.objects.filter(entry__operation=operation, purpose=purpose, entry__by=person)
    return sum(row.proof_gallons for row in rows)


@SIZES
def test_a_days_work(plant, browser_page, size):
    page = browser_page(size, user=plant.operator)
    page.goto("/")
    day = Day(page, size)
    day.heading("Floor")
    for part in PARTS:
        part(day)
    name = plant.operator.get_username()
    mine = Entry.objects.filter(by=name).order_by("number")
    assert list(mine.values_list("operation", flat=True)) == [
        "mash", "charge", "collect", "collect", "collect", "close-run", "production-gauge",
        "fill-barrels", "dump", "reduce", "open-bottling", "bottle", "remove",
    ]  # fmt: skip
    assert Reading.objects.filter(by=name, vessel__kind="fermenter").count() == 3  # with the OG
    # 1.5 x 150 + 30 x 120 + 20 x 50, by 100: 2.25 + 36.00 + 10.00
    assert proof_gallons("collect", "cut", name) == 225 + 3600 + 1000
    assert proof_gallons("production-gauge", "deposit", name) == 3600
    assert proof_gallons("fill-barrels", "fill", name) == 6 * 1740  # 14.5 x 120 by 100
    assert proof_gallons("dump", "transfer", name) == 2875  # 25 x 115 by 100
    # 60 bottles of 0.75 L at 92 proof; of these 24 leave.
    bottled = Decimal("0.75") * 60 / LITERS * 92 / 100
    assert abs(proof_gallons("bottle", "bottle", name) - cents(bottled)) <= 1
    assert abs(proof_gallons("remove", "remove", name) - cents(bottled * 24 / 60)) <= 1
    tank = Holding.objects.get(vessel__code="S-1", account="storage", wine_gallons__gt=0)
    assert (tank.wine_gallons, tank.proof_gallons) == (800, 7800 + 3600 - 6 * 1740)
    told = StringIO()
    call_command("verify", stdout=told)  # raises for a fault
    assert "no faults." in told.getvalue()
