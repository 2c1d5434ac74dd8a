"""Filling barrels from a storage tank: the law's lot number, entry proof, the loss in filling."""

import pytest

from distillery.models import Barrel
from distillery.recording import Asked, Refused
from ledger.models import Lot, Movement
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
DAY = "2026-01-30 14:00"
TWELVE = [f"B-{number}" for number in range(1, 13)]


def cellar(wine="127.12", proof="150", **facts):
    """A tank of bourbon at 118 proof and twelve new barrels of 10 gallons."""
    world = make_world()
    make_barrels(world.premises, *TWELVE, rated=10)
    told = {"class_code": "whisky", "type_code": "bourbon", "name": "Bourbon whisky designate"}
    put(world, "storage", "S-1", "S", wine=wine, proof=proof, **told | facts)
    return world


def fill(world, *codes, rows=None, **fields):
    rows = rows or [{"barrel": code} for code in codes]
    return world.record("fill-barrels", DAY, vessel="S-1", barrels=rows, **fields)


def tank(volume, proof="118"):
    return {"volume": f"{volume} gal", "temperature": "60 F", "proof": proof}


def test_twelve_equal_barrels_go_by_the_average():
    # 27 CFR 19.289(c), (d): 10 gal at 118 are 11.8 PG each, 12 x 11.8 = 141.6
    world = cellar()
    fill(world, *TWELVE, proof="118", each="10 gal")
    assert held("B-12") == [("storage", "26A30", 1000, 1180)]
    assert moved("storage", "storage", "fill") == (0, 12000, 14160)


def test_the_tank_gauged_afterwards_shows_the_loss():
    # 27 CFR 19.324: gauged before and after; 150.0 - 141.6 - 8.3 leaves a loss of 0.1
    world = cellar()
    fill(world, *TWELVE, proof="118", each="10 gal", after=tank("7.03"))
    assert held("S-1") == [("storage", "S", 703, 830)]
    assert moved("storage", "loss", "fill") == (0, 9, 10)


def test_an_emptied_tank_shares_its_gallons():
    world = cellar("120", "141.6")
    fill(world, *TWELVE, empties=True)
    assert held("S-1") == []
    assert moved("storage", "storage", "fill") == (0, 12000, 14160)


def test_the_gauge_before_comes_first():
    # 27 CFR 19.324: the tank is gauged before filling begins; 127 gal at 118 are 149.86 PG
    fill(cellar(), *TWELVE, before=tank("127"), each="10 gal")
    assert moved("storage", "loss", "regauge") == (0, 12, 14)


def test_a_weighed_barrel_holds_its_own():
    # 27 CFR 30.45: net weight x the factor of Table 4
    world = cellar()
    fill(world, rows=[{"barrel": "B-1", "gross": "127", "tare": "50"}], proof="118")
    movement = Movement.objects.get(purpose="fill")
    assert (movement.proof, movement.cooperage) == (1180, "new")
    assert 940 < movement.wine_gallons < 1060


def test_the_lot_begins_to_age_on_the_day():
    # 27 CFR 5.74(a): age is the time in oak after distillation
    fill(cellar(), "B-1", each="10 gal", proof="118")
    lot = Lot.objects.get(code="26A30")
    assert (lot.aged_from.isoformat(), lot.designation.type_code) == ("2026-01-30", "bourbon")
    assert (lot.wood, lot.name) == ("new", "Bourbon whisky")  # 27 CFR 19.305: no designate now


def test_a_second_spell_runs_in_used_wood_beside_the_first():
    # 27 CFR 5.1: for bourbon only charred new oak makes age, so the spells are kept apart
    world = cellar(aged_new="P2Y3M14D")
    Barrel.objects.filter(vessel__code="B-1").update(cooperage="R")
    fill(world, "B-1", each="10 gal", proof="118", confirm=["name-wood"])
    lot = Lot.objects.get(code="26A30")
    assert (lot.wood, lot.aged_new, lot.aged_other) == ("other", "P2Y3M14D", "")


def test_a_plain_new_barrel_is_no_charred_new_oak():
    # 27 CFR 5.1, 5.143(b): charred new oak barrels; 19.618: P is plain
    world = cellar()
    Barrel.objects.update(cooperage="P")
    fill(world, "B-1", each="10 gal", proof="118", confirm=["name-wood"])
    assert Lot.objects.get(code="26A30").wood == "other"


def test_bourbon_above_125_proof_is_asked_about():
    # 27 CFR 5.143(c)(2): stored at not more than 125 proof
    world = cellar("120", "156")
    with pytest.raises(Asked, match="name-entry-proof"):
        fill(world, "B-1", each="10 gal")


def test_other_spirits_enter_oak_at_any_proof():
    # 27 CFR 5.145 (rum) and 5.144 (gin) name no entry proof
    world = cellar("120", "156", class_code="rum", type_code="")
    fill(world, "B-1", each="10 gal")
    assert held("B-1") == [("storage", "26A30", 1000, 1300)]


def test_a_barrel_that_is_not_empty_is_refused():
    world = cellar()
    put(world, "storage", "B-1", "OLD", wine="5", proof="6", class_code="whisky")
    with pytest.raises(Refused) as refused:
        fill(world, "B-1", each="10 gal")
    assert list(refused.value.errors) == ["barrels"]


def test_far_above_the_rated_capacity_is_asked_about():
    with pytest.raises(Asked, match="over-capacity"):
        fill(cellar(), "B-1", each="12 gal", proof="118")


def test_more_than_the_tank_had_is_asked_about():
    with pytest.raises(Asked, match="gauge-gain"):
        fill(cellar("119", "140.42"), *TWELVE, each="10 gal", proof="118", empties=True)


def test_a_quantity_must_come_from_somewhere():
    with pytest.raises(Refused) as refused:
        fill(cellar(), "B-1", proof="118")
    assert list(refused.value.errors) == ["barrels"]


def test_the_gauge_record_has_its_number():
    # 27 CFR 19.618(a): a serial number
    done = fill(cellar(), "B-1", each="10 gal", proof="118")
    assert done.entry.document == f"GR-{done.entry.number}"


def test_a_range_of_codes_is_filled_alike():
    # 27 CFR 19.289(c), (d): average content times the number of packages, 12 x 11.8 = 141.6
    world = cellar()
    fill(world, alike="B-1..B-10, b-11, B-12", each="10 gal", proof="118")
    assert moved("storage", "storage", "fill") == (0, 12000, 14160)
    assert held("B-10") == [("storage", "26A30", 1000, 1180)]


@pytest.mark.parametrize("codes", ["B-1..B-99", "B-9..B-2", "B-1, B-1", "X-1", "B-1,,B-2"])
def test_codes_that_are_no_barrels_are_refused(codes):
    with pytest.raises(Refused) as refused:
        fill(cellar(), alike=codes, each="10 gal", proof="118")
    assert list(refused.value.errors) == ["alike"]


def test_no_barrel_at_all_is_refused():
    with pytest.raises(Refused) as refused:
        fill(cellar(), each="10 gal", proof="118")
    assert list(refused.value.errors) == ["barrels"]


def test_bourbon_in_used_wood_is_asked_about():
    # 27 CFR 5.143(c)(2): stored in charred new oak
    world = cellar()
    Barrel.objects.filter(vessel__code="B-1").update(cooperage="R")
    with pytest.raises(Asked, match="name-wood"):
        fill(world, "B-1", each="10 gal", proof="118")


def test_corn_whisky_in_charred_new_oak_is_asked_about():
    # 27 CFR 5.143(c)(3): used or uncharred new oak
    world = cellar(type_code="corn")
    with pytest.raises(Asked, match="name-wood"):
        fill(world, "B-1", each="10 gal", proof="118")


def test_gin_of_processing_stays_there_in_wood():
    # 27 CFR 19.351(c): nothing goes from processing to storage at the same plant
    world = make_world()
    make_barrels(world.premises, "B-1", rated=10)
    put(world, "processing", "S-1", "B-G", wine="20", proof="20", class_code="gin",
        name="Barreled gin", stage="batch")  # fmt: skip
    done = fill(world, "B-1", each="10 gal")
    assert held("B-1") == [("processing", "26A30", 1000, 1000)]
    assert any("19.351(c)" in line for line in done.plan.lines)
    assert Lot.objects.get(code="26A30").wood == "new"


def test_a_refill_tells_what_the_barrel_held_before():
    # 27 CFR 19.618: R, reused; its former contents are part of its record (common practice)
    world = cellar()
    Barrel.objects.filter(vessel__code="B-2").update(held_before="oloroso", was_filled_before=True)
    put(world, "storage", "B-1", "OLD", wine="10", proof="11", class_code="whisky", name="Rye")
    row = {"vessel": "B-1", "net": "70 lb", "proof": "110"}
    world.record("dump", "2026-01-20 10:00", vessels=[row], into="P-1")
    done = fill(world, "B-1", "B-2", each="10 gal", proof="118", confirm=["name-wood"])
    (slip,) = [slip for slip in done.plan.slips if slip.title == "Held before"]
    assert slip.readings == (
        ("B-1", "Rye, lot OLD, emptied 20 Jan 2026"), ("B-2", "oloroso"),
    )  # fmt: skip
