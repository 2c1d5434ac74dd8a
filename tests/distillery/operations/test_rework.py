"""Bottles dumped back to bulk, and low fills tipped back into the tank they came from."""

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Descent, Lot
from ledger.verifying import verify
from tests.distillery.stock import held, moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db
AT = "2026-04-10 09:00"
BOTTLES = {
    "stage": "bottled", "unit": "bottle", "class_code": "gin", "type_code": "distilled gin",
    "form": "bottled", "bottle_ml": 750, "per_case": 12, "label_proof": 900, "formula": "1",
    "product": "GIN-750", "name": "Point gin",
}  # fmt: skip
TANK = {"volume": "103.56 gal", "temperature": "60 F", "proof": "90.0"}


@pytest.fixture
def world():
    """Ten cases of gin at 90 proof: 120 x 750 mL are 23.78 WG and 21.40 PG (19.582, 30.52)."""
    made = make_world()
    put(made, "finished", "STORE", "K", wine="23.78", proof="21.40", amount=120, **BOTTLES)
    return made


def rework(world, at=AT, **fields):
    rows = [{"lot": "K", "cases": 5, "bottles": 3}]
    return world.record("rework", at, **{"bottles": rows, "into": "P-1", **fields})


def gauge(volume, proof="90"):
    return {"volume": f"{volume} gal", "temperature": "60 F", "proof": proof}


def test_one_movement_is_line_40_and_line_6(world):
    # TTB F 5110.28; 63 of 120 bottles are 12.48 WG and 11.23 PG: the whole
    # less what the other 57 are worth, 11.30 and 10.17
    rework(world)
    assert moved("finished", "processing", "rework") == (0, 1248, 1123)
    assert moved("finished", "glass", "rework") == (63, 0, 0)
    assert held("P-1") == [("processing", "B-2", 1248, 1123)]
    assert held("STORE") == [("finished", "K", 1130, 1017)]
    assert verify(world.premises).faults == []


def test_the_batch_is_bulk_of_the_same_kind_and_formula(world):
    rework(world)
    lot = Lot.objects.select_related("designation").get(code="B-2")
    kind = lot.designation
    assert (lot.stage, lot.unit, lot.formula, lot.bottle_ml) == ("batch", "pg", "1", None)
    assert (kind.class_code, kind.type_code, kind.form) == ("gin", "distilled gin", "")
    assert list(Descent.objects.values_list("parent__code", "child__code")) == [("K", "B-2")]


def test_the_gauge_finds_a_loss(world):
    # 27 CFR 19.283; 12.40 gal at 90 proof are 11.16 PG of 11.23: line 24
    rework(world, gauge=gauge("12.40"))
    assert moved("processing", "loss", "rework") == (0, 8, 7)


def test_the_gauge_finds_a_gain_once_confirmed(world):
    with pytest.raises(Asked, match="gauge-gain"):
        rework(world, gauge=gauge("12.60"))
    rework(world, gauge=gauge("12.60"), confirm=["gauge-gain"])
    assert moved("gain", "processing", "rework") == (0, 12, 11)


def test_without_a_gauge_it_says_that_the_label_counts(world):
    # 27 CFR 19.286
    assert any("19.286" in line for line in rework(world).plan.lines)


def test_a_heel_becomes_part_of_the_batch(world):
    put(world, "processing", "P-1", "HEEL", wine="10", proof="9", class_code="gin", formula="1")
    done = rework(world)
    assert held("P-1") == [("processing", f"B-{done.entry.number}", 2248, 2023)]
    slip = next(slip for slip in done.plan.slips if slip.title == "Batch")
    assert dict(slip.result)["from earlier batches"] == "9.00 PG"


def test_bottles_into_a_tank_of_another_kind_need_a_name(world):
    put(world, "processing", "P-1", "HEEL", wine="10", proof="9", class_code="rum")
    with pytest.raises(Refused) as refused:
        rework(world)
    assert list(refused.value.errors) == ["family"]


def test_more_bottles_than_the_store_has_are_asked_about(world):
    with pytest.raises(Asked, match="found-more"):
        rework(world, bottles=[{"lot": "K", "cases": 11}])


def test_a_rework_dated_back_stands_at_its_own_moment(world):
    done = rework(world, "2026-02-01 09:00")
    assert done.entry.happened_at == world.when("2026-02-01 09:00")


@pytest.fixture
def line(world):
    """A bottling of gin open in BT-1 with 43 cases and 5 bottles filled: 103.23 WG, 92.90 PG."""
    facts = {"class_code": "gin", "type_code": "distilled gin", "formula": "1"}
    put(world, "processing", "BT-1", "BATCH", wine="103.56", proof="93.20", **facts)
    world.record("open-bottling", "2026-04-09 08:00", vessel="BT-1", product="GIN-750", gauge=TANK)
    world.record("bottle", "2026-04-09 16:00", vessel="BT-1", store="STORE", cases=43, loose=5)
    return world


def tip(world, at=AT, **fields):
    told = {"vessel": "BT-1", "bottles": 2, "why": "low fill", **fields}
    return world.record("tip-back", at, **told)


def test_bottles_that_were_counted_come_off_the_count(line):
    # 519 x 0.75 L x 0.264172 = 102.83 WG, x 0.9 = 92.55 PG (27 CFR 19.582, 30.52)
    tip(line, counted=True)
    assert moved("processing", "finished", "bottle") == (0, 10283, 9255)
    assert moved("glass", "finished", "bottle")[0] == 519
    assert held("BT-1") == [("processing", "BATCH", 73, 65)]
    assert verify(line.premises).faults == []


def test_bottled_again_they_are_what_they_were(line):
    tip(line, counted=True)
    line.record("bottle", "2026-04-10 10:00", vessel="BT-1", store="STORE", loose=2)
    assert moved("processing", "finished", "bottle") == (0, 10323, 9290)


def test_bottles_never_counted_move_nothing(line):
    done = tip(line)
    assert done.plan.legs == ()
    assert done.entry.document == "BR-3"
    assert "never left the tank" in done.plan.lines[1]


def test_a_closed_bottling_takes_nothing_back(line):
    line.record("close-bottling", "2026-04-09 17:00", vessel="BT-1")
    with pytest.raises(Refused, match="No bottling was open in BT-1"):
        tip(line, counted=True)


def test_bottles_that_are_gone_cannot_come_back(line):
    with pytest.raises(Refused) as refused:
        tip(line, bottles=600, counted=True)
    assert list(refused.value.errors) == ["bottles"]


def test_nothing_counted_yet_is_told(world):
    facts = {"class_code": "gin", "type_code": "distilled gin"}
    put(world, "processing", "BT-1", "BATCH", wine="103.56", proof="93.20", **facts)
    world.record("open-bottling", "2026-04-09 08:00", vessel="BT-1", product="GIN-750", gauge=TANK)
    with pytest.raises(Refused, match="No bottle of BR-3 was counted"):
        tip(world, counted=True)


def test_a_proof_at_which_none_was_bottled_is_told(line):
    with pytest.raises(Refused) as refused:
        tip(line, counted=True, proof_bottled="89")
    assert list(refused.value.errors) == ["proof_bottled"]


def test_dumping_into_an_open_bottling_is_asked_about(line):
    with pytest.raises(Asked, match="Tip back bottles"):
        rework(line, into="BT-1")


def test_bottles_of_an_earlier_month_are_asked_about(line):
    # TTB F 5110.28: no figure of a month is below zero (official help of the form)
    with pytest.raises(Asked, match="bottled-earlier"):
        tip(line, "2026-05-02 09:00", counted=True)
    assert tip(line, "2026-05-02 09:00", counted=True, confirm=["bottled-earlier"]).is_new
