"""A wrong kind mended by a new lot: what moves, and what each form makes of it."""

import pytest

from distillery.recording import Refused
from ledger.models import Descent, Lot
from ledger.verifying import verify
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
AT = "2026-05-06 15:30"
BOTTLES = {
    "stage": "bottled", "unit": "bottle", "class_code": "vodka", "form": "bottled",
    "bottle_ml": 750, "per_case": 12, "label_proof": 900, "product": "VODKA-750",
}  # fmt: skip


@pytest.fixture
def world():
    made = make_world()
    make_barrels(made.premises, "B-1", "B-2")
    return made


def reclass(world, at=AT, **fields):
    return world.record("reclass", at, **{"reason": "wrong at receipt", **fields})


def facts(code):
    return Lot.objects.select_related("designation").get(code=code)


def test_a_tank_of_storage_becomes_the_right_kind(world):
    # TTB F 5110.11 lines 21 and 5: out under the old column, in under the new
    put(world, "storage", "S-1", "RUM", wine="100", proof="120", class_code="rum")
    done = reclass(world, vessel="S-1", family="brandy", distilled_at="160")
    assert moved("storage", "storage", "reclass") == (0, 10000, 12000)
    assert held("S-1") == [("storage", "RUM-2", 10000, 12000)]
    lot = facts("RUM-2")
    assert (lot.designation.class_code, lot.distilled_at) == ("brandy", 1600)
    assert "Class: Rum, now Brandy, 170 proof and under." in done.plan.lines
    assert any("line 21" in line and "line 5" in line for line in done.plan.lines)
    assert list(Descent.objects.values_list("parent__code", "child__code")) == [("RUM", "RUM-2")]
    assert verify(world.premises).faults == []


def test_every_barrel_of_a_lot_is_mended_at_once(world):
    kind = {"class_code": "whisky", "type_code": "bourbon"}
    put(world, "storage", "S-1", "TANK", wine="20", proof="22", **kind)
    barrels = [{"barrel": code, "volume": "10 gal"} for code in ("B-1", "B-2")]
    world.record("fill-barrels", "2026-01-30 09:00", vessel="S-1", barrels=barrels, proof="110")
    reclass(world, lot="26A30", type_code="rye")
    assert [held(code)[0][1:3] for code in ("B-1", "B-2")] == [("26A30-3", 1000)] * 2
    assert facts("26A30-3").designation.type_code == "rye"


def test_the_source_has_a_report_of_its_own(world):
    # TTB F 5110.11 is filed by source
    put(world, "storage", "S-1", "RUM", wine="100", proof="120", class_code="rum")
    done = reclass(world, vessel="S-1", source="puerto_rican")
    assert facts("RUM-2").designation.source == "puerto_rican"
    assert any("line 21" in line for line in done.plan.lines)


def test_a_type_changes_no_column_of_storage(world):
    put(world, "storage", "S-1", "W", wine="100", proof="120", class_code="whisky")
    done = reclass(world, vessel="S-1", type_code="bourbon")
    assert any("no column of TTB F 5110.11" in line for line in done.plan.lines)


def test_processing_and_finished_goods_tell_of_part_iv(world):
    put(world, "processing", "P-1", "B", wine="100", proof="90", class_code="vodka")
    put(world, "finished", "STORE", "K", wine="23.78", proof="21.40", amount=120, **BOTTLES)
    done = reclass(world, vessel="P-1", family="gin")
    assert any("part I changes" in line and "part IV" in line for line in done.plan.lines)
    done = reclass(world, "2026-05-06 16:00", lot="K", family="gin")
    assert any("part II changes" in line for line in done.plan.lines)
    assert moved("finished", "finished", "reclass") == (120, 2378, 2140)
    assert held("STORE") == [("finished", "K-4", 2378, 2140)]


def test_the_reduced_rate_is_told_with_the_tax(world):
    put(world, "processing", "P-1", "B", wine="100", proof="90", class_code="vodka")
    done = reclass(world, vessel="P-1", reduced_rate="no")
    assert facts("B-2").designation.reduced_rate is False
    assert any("other rate" in line for line in done.plan.lines)


def test_the_old_distillation_proof_tells_the_band(world):
    put(world, "storage", "S-1", "W", wine="100", proof="120", class_code="rum",
        distilled_at=1650)  # fmt: skip
    reclass(world, vessel="S-1", family="whisky")
    assert facts("W-2").designation.class_code == "whisky_over_160"


def test_wine_does_not_turn_into_spirits_in_processing(world):
    put(world, "processing", "P-1", "B", wine="100", proof="30", class_code="wine")
    with pytest.raises(Refused, match="turns wine into spirits"):
        reclass(world, vessel="P-1", family="rum")


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"vessel": "S-1"}, "family"),
        ({"vessel": "S-1", "family": "rum"}, "family"),
        ({"family": "gin"}, "lot"),
        ({"vessel": "S-2", "family": "gin"}, "vessel"),
        ({"vessel": "S-1", "family": "gin", "reason": ""}, "reason"),
        ({"vessel": "S-1", "family": "whisky"}, "distilled_at"),
    ],
)
def test_what_does_not_fit_is_told_beside_it(world, fields, field):
    put(world, "storage", "S-1", "RUM", wine="100", proof="120", class_code="rum")
    with pytest.raises(Refused) as refused:
        reclass(world, **fields)
    assert list(refused.value.errors) == [field]


def test_a_change_dated_back_stands_at_its_own_moment(world):
    put(world, "storage", "S-1", "RUM", wine="100", proof="120", class_code="rum")
    done = reclass(world, "2026-02-01 09:00", vessel="S-1", family="gin")
    assert done.entry.happened_at == world.when("2026-02-01 09:00")
