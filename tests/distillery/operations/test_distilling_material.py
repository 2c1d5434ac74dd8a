"""Distilling material bought in, moved, combined, destroyed or removed (27 CFR 19.584).

The daily record has kind and wine gallons made, received (with strength, 19.581), used, and
destroyed or removed before distillation; beer received from a brewery is told apart.
"""

import pytest

from distillery.models import Remark
from distillery.recording import Asked, Refused
from ledger.models import Descent, Holding, Lot, Movement
from ledger.verifying import verify
from tests.distillery.operations.plant_floor import charge, collect, held, mash
from tests.distillery.stock import moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db

AT = "2026-01-10 09:00"
BEER = {
    "kind": "beer", "volume": "120 gal", "abv": "8 %", "taxed": "untaxed", "into": "FV-2",
    "consignor": "Inlet Brewing (invented)", "consignor_number": "BR-XX-00000",
}  # fmt: skip


def receive(world, at: str = AT, **more) -> Lot:
    return world.record(
        "receive-distilling-material", at, **{**BEER, **more}
    ).entry.lots_opened.get()


def wash(world, into: str, volume: str) -> str:
    return mash(world, into=into, wash=volume, confirm=["odd-strength"])


def test_untaxed_beer_comes_in_bond_from_the_brewery():
    world = make_world()
    lot = receive(world)
    assert moved("other_plant", "fermenting", "receive") == (0, 12000, 0)
    assert (lot.unit, lot.designation.material) == ("gal", "grain")
    assert lot.producer == "Inlet Brewing (invented), BR-XX-00000"


def test_tax_determined_beer_comes_from_a_supplier():
    world = make_world()
    receive(world, taxed="tax-determined")
    assert moved("supplier", "fermenting", "receive") == (0, 12000, 0)


def test_onto_a_heel_it_is_a_new_lot_of_both():
    world = make_world()
    first = wash(world, "FV-2", "80 gal")
    second = receive(world)
    assert held("fermenting", "FV-2") == (20000, 0)
    assert Descent.objects.filter(parent__code=first, child=second).exists()


def test_spirits_are_no_place_for_it():
    world = make_world()
    put(world, "storage", "S-1", "S-9", wine="20", proof="30")
    with pytest.raises(Refused) as refused:
        receive(world, into="S-1")
    assert list(refused.value.errors) == ["into"]


def test_what_is_too_strong_for_a_ferment_is_asked_about():
    world = make_world()
    with pytest.raises(Asked) as asked:
        receive(world, abv="40 %")
    assert [q.code for q in asked.value.plan.questions] == ["odd-strength"]


def test_its_strength_is_the_alcohol_expected_of_the_run():
    # 27 CFR 30.11: 120 gal at 8 % are 16 proof, 19.20 PG
    world = make_world()
    receive(world)
    charge(world, "FV-2", type_code="")
    collect(world, "low wines", "36 gal", "50")
    done = world.record("close-run", "2026-01-12 20:00", still="POT")
    assert done.plan.slips[0].result[0] == ("in", "19.20 PG")


def test_a_wash_moved_to_an_empty_fermenter_stays_itself():
    world = make_world()
    code = wash(world, "FV-1", "140 gal")
    world.record("move-wash", AT, sources=[{"vessel": "FV-1"}], into="FV-2")
    assert (held("fermenting", "FV-1"), held("fermenting", "FV-2")) == ((0, 0), (14000, 0))
    assert Holding.objects.get(vessel__code="FV-2", wine_gallons__gt=0).lot.code == code


def test_two_fermenters_combined_are_a_lot_of_both():
    world = make_world()
    washes = {wash(world, "FV-1", "100 gal"), wash(world, "FV-2", "120 gal")}
    world.record("move-wash", AT, sources=[{"vessel": "FV-2"}], into="FV-1")
    lot = Holding.objects.get(vessel__code="FV-1", wine_gallons__gt=0).lot
    assert held("fermenting", "FV-1") == (22000, 0)
    assert set(Descent.objects.filter(child=lot).values_list("parent__code", flat=True)) == washes


def test_lees_and_what_nobody_finds_leave_by_their_own_names():
    world = make_world()
    wash(world, "FV-1", "140 gal")
    sources = [{"vessel": "FV-1", "volume": "130 gal", "lees": "8 gal"}]
    world.record("move-wash", AT, sources=sources, into="FV-2")
    assert moved("fermenting", "residue", "move") == (0, 800, 0)
    assert moved("fermenting", "loss", "move") == (0, 200, 0)
    assert (held("fermenting", "FV-1"), held("fermenting", "FV-2")) == ((0, 0), (13000, 0))


def test_more_than_the_book_is_gained():
    world = make_world()
    wash(world, "FV-1", "140 gal")
    sources = [{"vessel": "FV-1", "volume": "141 gal"}]
    world.record("move-wash", AT, sources=sources, into="FV-2")
    assert moved("gain", "fermenting", "move") == (0, 100, 0)


def test_the_rest_can_stay():
    world = make_world()
    code = wash(world, "FV-1", "140 gal")
    sources = [{"vessel": "FV-1", "volume": "60 gal", "rest_stays": True}]
    world.record("move-wash", AT, sources=sources, into="FV-2")
    world.record("move-wash", AT, sources=[{"vessel": "FV-1"}], into="FV-2")
    assert held("fermenting", "FV-2") == (14000, 0)
    assert Lot.objects.filter(stage="wash").get().code == code


@pytest.mark.parametrize(
    ("sources", "into", "field"),
    [
        ([{"vessel": "FV-1"}], "FV-1", "into"),
        ([{"vessel": "FV-1"}, {"vessel": "FV-1"}], "FV-2", "sources"),
        ([{"vessel": "FV-2"}], "FV-1", "sources"),
        ([{"vessel": "FV-1", "lees": "140 gal"}], "FV-2", "sources"),
    ],
)
def test_a_move_that_makes_no_sense_is_refused_beside_its_field(sources, into, field):
    world = make_world()
    wash(world, "FV-1", "140 gal")
    with pytest.raises(Refused) as refused:
        world.record("move-wash", AT, sources=sources, into=into)
    assert list(refused.value.errors) == [field]


@pytest.mark.parametrize(
    ("fate", "account", "purpose"),
    [
        ("destroyed", "residue", "destroy"), ("lees", "residue", "destroy"),
        ("fed", "residue", "destroy"), ("removed", "other_plant", "ship"),
        ("returned", "supplier", "ship"),
    ],
)  # fmt: skip
def test_wash_destroyed_or_removed_leaves_undistilled(fate, account, purpose):
    world = make_world()
    wash(world, "FV-1", "140 gal")
    fields = {"vessel": "FV-1", "volume": "20 gal", "consignee": "Inlet Brewing (invented)"}
    done = world.record("destroy-wash", AT, fate=fate, **fields)
    assert moved("fermenting", account, purpose) == (0, 2000, 0)
    assert (held("fermenting", "FV-1"), done.entry.document) == ((12000, 0), "DM-3")


def test_who_took_it_is_named():
    world = make_world()
    wash(world, "FV-1", "140 gal")
    with pytest.raises(Refused) as refused:
        world.record("destroy-wash", AT, vessel="FV-1", fate="removed")
    assert list(refused.value.errors) == ["consignee"]


def test_more_wash_than_the_book_has_is_offered_as_found():
    world = make_world()
    wash(world, "FV-1", "140 gal")
    with pytest.raises(Asked) as asked:
        world.record("destroy-wash", AT, vessel="FV-1", volume="141 gal", fate="destroyed")
    assert [q.code for q in asked.value.plan.questions] == ["found-more"]


def test_a_record_dated_back_keeps_the_book_true():
    world = make_world()
    wash(world, "FV-1", "140 gal")
    world.record("destroy-wash", "2026-01-11 09:00", vessel="FV-1", volume="20 gal", fate="lees")
    sources = [{"vessel": "FV-1", "volume": "100 gal", "rest_stays": True}]
    world.record("move-wash", AT, sources=sources, into="FV-2")
    receive(world, "2026-01-09 09:00", into="S-2")
    assert (held("fermenting", "FV-1"), held("fermenting", "S-2")) == ((2000, 0), (12000, 0))
    assert verify(world.premises).faults == []


def test_fusel_oil_is_a_record_without_movement():
    # 27 CFR 19.584: quantity, disposition, consignee and alcohol test of what was taken off
    world = make_world()
    wash(world, "FV-1", "140 gal")
    run, before = charge(world, "FV-1"), Movement.objects.count()
    fields = {"still": "POT", "run": run, "kind": "fusel oil", "volume": "2 gal"}
    more = {"disposition": "sold", "consignee": "Shoal Chemical (invented)", "test_abv": "4 %"}
    world.record("take-off-chemical", "2026-01-12 15:00", **fields, **more)
    assert Movement.objects.count() == before
    assert Remark.objects.get().words == (
        "2.00 gal of fusel oil taken off, 4 % alcohol found in it: "
        "sold to Shoal Chemical (invented)."
    )
