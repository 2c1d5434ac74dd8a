"""A month of the acts of barrels: which lines they fill, and that everything ties.

The line each act fills is that of TTB F 5110.11 (27 CFR 19.590(c)) and F 5110.28 (08-2023);
the figures are worked out by hand.
"""

from datetime import date

import pytest

from ledger.verifying import verify
from reports.filling import fill
from reports.forms import FORMS
from reports.month_end import filings_of
from tests.distillery.stock import put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
PRODUCTION, STORAGE, PROCESSING = FORMS.values()
FEBRUARY = date(2026, 2, 1)
RUM = {"class_code": "rum", "name": "Rum", "state": "XX"}


def gauge(volume, proof):
    return {"volume": f"{volume} gal", "temperature": "60 F", "proof": proof}


@pytest.fixture
def world():
    """Rum in a tank and two barrels of storage, gin in a tank of processing: January's stock."""
    made = make_world()
    make_barrels(made.premises, "B-1", "B-2", "B-3", "B-4", rated=10)
    put(made, "storage", "S-1", "RAW", wine="50", proof="60", **RUM)
    for code in ("B-1", "B-2"):
        put(made, "storage", code, f"L-{code}", wine="10", proof="12",
            wood="other", aged_from=date(2024, 1, 30), **RUM)  # fmt: skip
    put(made, "processing", "P-1", "GIN", wine="30", proof="33", class_code="gin", name="Gin",
        stage="batch")  # fmt: skip
    return made


def line(form, world, part, number):
    """The total column of one line, hundredths."""
    return fill(form, world.premises, FEBRUARY, "domestic").part(part).value(number)


def test_a_leak_is_line_22_and_a_rinse_line_5(world):
    # 2 gal left of 120 proof are 2.4 of 12.0 PG; 2 gal at 30 proof are 0.60 PG (27 CFR 30.51)
    say = world.record
    row = {"vessel": "B-1", **gauge("2", "120"), "why_not_weighed": "dripping"}
    say("package-loss", "2026-02-02 09:00", packages=[row], cause="leak", found_how="on a round")
    assert line(STORAGE, world, "", "22") == 960
    rest = {"vessel": "B-1", **gauge("2", "120"), "why_not_weighed": "dripping"}
    say("dump-to-tank", "2026-02-02 10:00", vessels=[rest], into="S-2")
    say("rinse", "2026-02-02 11:00", barrels="B-1", water="2 gal", account="storage", into="S-2",
        gauge=gauge("2", "30"), confirm=["rinse-much"])  # fmt: skip
    assert line(STORAGE, world, "", "5") == 60


def test_what_only_changes_places_inside_storage_fills_no_line(world):
    say = world.record
    say("fill-barrels", "2026-02-02 09:00", vessel="S-1", alike="B-3", each="10 gal")
    topped = [{"barrel": "B-2", "volume": "0.5 gal"}]
    say("top-up", "2026-02-03 09:00", vessel="S-1", barrels=topped, confirm=["top-up-mingles"])
    say("package-to-package", "2026-02-04 09:00", packages=[{"old": "B-1", "vessel": "B-4"}])
    say("oak-or-caramel", "2026-02-05 09:00", vessel="S-1", what="BSA", quantity="1 lb")
    say("regauge", "2026-02-06 09:00", vessels=[{"vessel": "B-2", "net": "70 lb", "proof": "119"}])
    say("move-barrels", "2026-02-07 09:00", barrels="B-1..B-4", place="Rack 1")
    assert line(STORAGE, world, "", "1") == line(STORAGE, world, "", "23") == 8400
    moved = [line(STORAGE, world, "", str(number)) for number in (*range(2, 6), *range(7, 23))]
    assert not any(moved)


def test_a_barrel_kept_in_processing_loses_on_line_24(world):
    # 27 CFR 19.351(c): gin of processing never enters storage; filled 11.0, dumped 10.8 PG
    say = world.record
    say("fill-barrels", "2026-02-02 09:00", vessel="P-1", alike="B-3", each="10 gal")
    row = {"vessel": "B-3", **gauge("9.9", "109"), "why_not_weighed": "no scale"}
    say("dump-to-tank", "2026-02-20 09:00", vessels=[row], into="P-2")
    assert line(PROCESSING, world, "I", "24") == 20
    assert line(STORAGE, world, "", "2") in (0, None)


def test_every_check_of_the_month_holds(world):
    test_a_leak_is_line_22_and_a_rinse_line_5(world)
    test_a_barrel_kept_in_processing_loses_on_line_24(world)
    assert [one.id for one in filings_of(world.premises, FEBRUARY).checks if not one.holds] == []
    assert verify(world.premises).faults == []
