"""A barrel's spells from the book, and what a gauge record says of its wood."""

from datetime import date

import pytest

from distillery.barrel_spells import spells_of
from distillery.papers.gauge_record import gauge_records
from ledger.models import Vessel
from tests.distillery.stock import put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
RUM = {"class_code": "rum", "name": "Rum", "state": "XX"}


def twice_filled():
    """B-1 filled on 30 January, dumped on 14 September, filled again on 15 September."""
    world = make_world()
    make_barrels(world.premises, "B-1", rated=10)
    put(world, "storage", "S-1", "S", wine="30", proof="35.4", at="2026-01-29 09:00", **RUM)
    world.record("fill-barrels", "2026-01-30 09:00", vessel="S-1", alike="B-1", each="10 gal")
    row = {"vessel": "B-1", "net": "60 lb", "proof": "120"}
    world.record("dump-to-tank", "2026-09-14 09:00", vessels=[row], into="S-2")
    again = world.record(
        "fill-barrels", "2026-09-15 09:00", vessel="S-1", alike="B-1", each="9 gal"
    )
    return world, again.entry


def spells():
    return spells_of(Vessel.objects.get(code="B-1"))


def test_each_spell_has_its_fill_its_loss_and_its_end():
    # 27 CFR 19.462(a): filled 11.80 PG; what the dump did not find is the loss of the spell
    world, _ = twice_filled()
    first, second = spells()
    assert (first.filled, first.lost + first.drawn, first.proof) == (1180, 1180, 1180)
    assert first.lost > 0
    assert first.lost_pct == f"{first.lost * 100 / 1180:.1f}"
    assert first.end == world.when("2026-09-14 09:00")
    assert (second.lot.code, second.filled, second.end) == (
        "26I15",
        1060,
        None,
    )  # 10.62 to the nearest 0.1, 19.289(d)


def test_a_fill_taken_back_is_no_spell():
    world, again = twice_filled()
    world.record("reverse", "2026-09-16 09:00", entry=again.number, reason="another barrel")
    assert len(spells()) == 1


def test_topping_up_and_partial_draws_stay_in_the_spell():
    world, _ = twice_filled()
    world.record("top-up", "2026-10-01 09:00", vessel="S-1", confirm=["top-up-mingles"],
                 barrels=[{"barrel": "B-1", "volume": "1 gal"}])  # fmt: skip
    row = {"vessel": "B-1", "net": "20 lb", "proof": "118", "part": True}
    world.record("dump", "2026-10-02 09:00", vessels=[row], into="P-1")
    _, second = spells()
    assert (second.topped, second.drawn > 0, second.end) == (118, True, None)
    assert [lot.code for lot in second.lots] == ["26I15", "M-5"]


def test_the_second_fill_is_in_reused_cooperage():
    # 27 CFR 19.618: C charred, R reused
    world, again = twice_filled()
    (record, package) = gauge_records(again)
    assert package.parts[1].rows[0][1] == "R"
    first = gauge_records(world.premises.entries.get(number=2))
    assert first[1].parts[1].rows[0][1] == "C"
    assert record.parts[1].rows[0][2] == "Average content of like packages"


def test_a_changed_barrel_goes_over_by_the_book():
    world, _ = twice_filled()
    make_barrels(world.premises, "B-9", rated=10)
    done = world.record("package-to-package", "2026-10-01 09:00",
                        packages=[{"old": "B-1", "vessel": "B-9"}])  # fmt: skip
    assert gauge_records(done.entry)[1].parts[1].rows[0][3] == ""
    assert spells()[-1].end.date() == date(2026, 10, 1)
