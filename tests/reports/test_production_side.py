"""The production side through its own operations: which lines they fill, and which they must not.

TTB F 5110.40 (edition 10-2021) and 5110.11; 27 CFR 19.585(a)(2): what is lost or destroyed
before the gauge is a daily record. The figures are worked out by hand.
"""

from datetime import date

import pytest

from reports.filling import fill
from reports.forms import FORMS
from reports.month_end import filings_of
from tests.distillery.operations.plant_floor import deliver, gauge, mash
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = pytest.mark.django_db

PRODUCTION, STORAGE, PROCESSING = FORMS.values()
FEBRUARY = date(2026, 2, 1)


def gin_month():
    """38.00 PG of neutral spirits drawn, 9.50 sent back unused, 28.50 made into gin.

    Out of the run 0.85 PG of heads, destroyed, and 25.60 of hearts: 16.00 gauged into
    processing first, the rest left in the receiver. The basket takes 1,000 g.
    """
    world = make_world()
    put(world, "storage", "S-1", "A", wine="100", proof="190")
    juniper = deliver(world, "JUNIPER", "2,000 g", "SHELF")
    say = world.record
    say("draw-redistil", "2026-02-02 09:00", vessel="S-1", to="NS", gauge=gauge("20 gal", "190"))
    say("return-redistil", "2026-02-02 10:00", vessel="NS", to="S-2", volume="5 gal")
    say("charge", "2026-02-02 11:00", still="POT", sources=[{"vessel": "NS"}], family="gin",
        water="25 gal")  # fmt: skip
    say("collect", "2026-02-02 12:00", still="POT", fraction="heads", into="RCV-1",
        gauge=gauge("0.5 gal", "170"))  # fmt: skip
    say("stop-still", "2026-02-02 12:30", still="POT")
    say("load-basket", "2026-02-02 13:00", still="POT",
        botanicals=[{"lot": juniper, "quantity": "1,000 g"}])  # fmt: skip
    say("run-on", "2026-02-02 13:30", still="POT")
    say("collect", "2026-02-02 16:00", still="POT", fraction="hearts", into="RCV-2",
        gauge=gauge("16 gal", "160"))  # fmt: skip
    say("close-run", "2026-02-02 18:00", still="POT")
    say("retire-feints", "2026-02-03 09:00", vessel="RCV-1", empties=True, fate="cleaning")
    say("production-gauge", "2026-02-03 10:00", vessel="RCV-2", gauge=gauge("10 gal", "160"),
        before=gauge("16 gal", "160"), after=gauge("6 gal", "160"), rest_stays=True,
        account="processing", into="P-1", family="gin", distilled_at="160")  # fmt: skip
    return world


def test_spirits_sent_back_unused_are_line_4_of_storage():
    """The right way back is 5110.11 line 4; 5110.40 line 15 keeps all that was received."""
    world = gin_month()
    storage = fill(STORAGE, world.premises, FEBRUARY, "domestic")
    assert (storage.part("").value("18"), storage.part("").value("4")) == (3800, 950)
    production = fill(PRODUCTION, world.premises, FEBRUARY)
    assert production.part("I").value("15") == 3800
    assert production.value("V", "1-8") == 2850


def test_only_the_gauged_part_is_produced():
    """27 CFR 19.289(a): a part is produced at its gauge, the rest is still unfinished."""
    world = gin_month()
    production = fill(PRODUCTION, world.premises, FEBRUARY)
    assert (production.part("I").value("9"), production.part("I").value("14")) == (1600, 1600)


def test_what_was_destroyed_before_the_gauge_is_on_no_line():
    world = gin_month()
    values = {
        abs(cell.value or 0)
        for form in (PRODUCTION, STORAGE, PROCESSING)
        for *_, cell in fill(form, world.premises, FEBRUARY, "domestic").every_cell()
    }
    assert 85 not in values


def test_every_check_of_the_month_holds():
    world = gin_month()
    assert [one.id for one in filings_of(world.premises, FEBRUARY).checks if not one.holds] == []


def test_materials_and_wash_fill_no_line():
    """27 CFR 19.584: daily records only."""
    world = make_world()
    mash(world, wash="140 gal", at="2026-02-02 10:00", confirm=["odd-strength"])
    corn = deliver(world, "CORN", "400 lb")
    say = world.record
    say("mill", "2026-02-03 09:00", grains=[{"lot": corn, "quantity": "200 lb"}], into="BIN-2",
        grist="198 lb")  # fmt: skip
    say("return-material", "2026-02-03 10:00", vessel="BIN-1", quantity="50 lb")
    say("destroy-material", "2026-02-03 11:00", vessel="BIN-1", fate="destroyed")
    say("receive-distilling-material", "2026-02-04 09:00", kind="beer", volume="50 gal",
        abv="7 %", taxed="untaxed", consignor="Inlet Brewing (invented)", into="FV-2")  # fmt: skip
    say("move-wash", "2026-02-04 10:00", sources=[{"vessel": "FV-2", "lees": "2 gal"}],
        into="FV-1")  # fmt: skip
    say("destroy-wash", "2026-02-04 11:00", vessel="FV-1", fate="destroyed")
    for form in (PRODUCTION, STORAGE, PROCESSING):
        filled = fill(form, world.premises, FEBRUARY, "domestic")
        assert [key for *key, cell in filled.every_cell() if cell.value] == []
    assert [one.id for one in filings_of(world.premises, FEBRUARY).checks if not one.holds] == []
