"""Collecting fractions: each at its gauge, first out of what the run holds by the book."""

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Descent, Holding, Lot, Movement
from tests.distillery.operations.plant_floor import charge, collect, gauge, held, mash
from tests.distillery.stock import moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db


def wash_run(world):
    mash(world, wash="140 gal", confirm=["odd-strength"])
    return charge(world, "FV-1")


def spirits_run(world):
    put(world, "redistil", "NS", "N-1", wine="50", proof="38")
    return charge(world, "NS", family="gin", type_code="")


def test_wash_gives_its_alcohol_at_the_gauge():
    # 27 CFR 30.51: 40 gal of 50 proof are 20 proof gallons
    world = make_world()
    wash_run(world)
    collect(world, "low wines", "40 gal", "50")
    assert held("production", "RCV-1") == (4000, 2000)
    assert held("production", "POT") == (10000, 0)
    assert moved("distilled", "production", "collect") == (0, 0, 2000)


def test_feints_in_the_run_come_over_before_anything_is_distilled():
    world = make_world()
    put(world, "production", "FEINTS", "F-1", wine="20", proof="8", stage="fraction")
    mash(world, wash="120 gal", confirm=["odd-strength"])
    charge(world, "FV-1", "FEINTS")
    collect(world, "hearts", "10 gal", "130")
    assert moved("production", "production", "cut") == (0, 1000, 800)
    assert moved("distilled", "production", "collect") == (0, 0, 500)


def test_hearts_are_traced_to_the_grain():
    # 27 CFR 19.585(a)(3): spirits are traced through the still back to the mash
    world = make_world()
    wash_run(world)
    collect(world, "hearts", "10 gal", "130")
    lot, found = Lot.objects.get(code="R-3-hearts"), set()
    wanted = {lot.pk}
    while wanted:
        rows = Descent.objects.filter(child__in=wanted).select_related("parent")
        found |= {row.parent.stage for row in rows}
        wanted = {row.parent_id for row in rows}
    assert found == {"run", "wash", "material"}


def test_hearts_carry_what_the_run_is_meant_to_make():
    world = make_world()
    wash_run(world)
    collect(world, "hearts", "10 gal", "130")
    lot = Lot.objects.get(code="R-3-hearts")
    assert (lot.designation.class_code, lot.designation.type_code) == ("whisky", "bourbon")


def test_a_run_goes_on_past_midnight():
    world = make_world()
    wash_run(world)
    collect(world, "hearts", "10 gal", "130", at="2026-01-31 23:30")
    collect(world, "hearts", "6 gal", "120", at="2026-02-01 00:40")
    assert held("production", "RCV-1") == (1600, 2020)
    assert Lot.objects.filter(stage="fraction").count() == 1


def test_another_fraction_onto_a_heel_is_a_new_lot_of_both():
    world = make_world()
    wash_run(world)
    collect(world, "heads", "2 gal", "150", into="FEINTS")
    collect(world, "tails", "8 gal", "60", into="FEINTS")
    stands = Holding.objects.get(vessel__code="FEINTS", wine_gallons__gt=0).lot
    parents = Descent.objects.filter(child=stands).values_list("parent__code", flat=True)
    assert stands.code == "R-3-tails"
    assert set(parents) == {"R-3", "R-3-heads"}


def test_the_same_fraction_in_another_receiver_is_a_lot_of_its_own():
    world = make_world()
    wash_run(world)
    collect(world, "hearts", "10 gal", "130")
    collect(world, "hearts", "10 gal", "125", into="RCV-2")
    collect(world, "hearts", "1 gal", "120", into="RCV-2")
    codes = Lot.objects.filter(stage="fraction").values_list("code", flat=True)
    assert set(codes) == {"R-3-hearts", "R-3-hearts-2"}


def test_a_run_of_spirits_that_gives_more_than_its_charge_is_asked_about():
    world = make_world()
    spirits_run(world)
    with pytest.raises(Asked) as asked:
        collect(world, "hearts", "25 gal", "153")
    assert [q.code for q in asked.value.plan.questions] == ["more-than-charged"]
    collect(world, "hearts", "25 gal", "153", confirm=["more-than-charged"])
    assert moved("gain", "production", "run") == (0, 0, 25)


def test_foreshots_with_hearts_are_asked_about():
    # foreshots are kept apart for disposal (common practice, no source)
    world = make_world()
    wash_run(world)
    collect(world, "foreshots", "0.5 gal", "150")
    with pytest.raises(Asked) as asked:
        collect(world, "hearts", "10 gal", "130")
    assert [q.code for q in asked.value.plan.questions] == ["foreshots-mingled"]


def test_more_than_the_receiver_holds_is_asked_about():
    world = make_world()
    wash_run(world)
    with pytest.raises(Asked) as asked:
        collect(world, "low wines", "70 gal", "50")
    assert [q.code for q in asked.value.plan.questions] == ["over-capacity"]


def test_a_still_without_a_run_is_refused_beside_its_field():
    world = make_world()
    with pytest.raises(Refused) as refused:
        collect(world, "hearts", "10 gal", "130")
    assert list(refused.value.errors) == ["still"]


def test_a_tank_of_another_account_is_refused_beside_its_field():
    world = make_world()
    wash_run(world)
    put(world, "storage", "S-1", "S-9", wine="20", proof="30")
    with pytest.raises(Refused) as refused:
        collect(world, "hearts", "10 gal", "130", into="S-1")
    assert list(refused.value.errors) == ["into"]


def test_a_fraction_can_be_weighed():
    # TTB Table 4: 0.18179 proof gallons a pound at 134 proof comes by computation; only kept here
    world = make_world()
    wash_run(world)
    weighed = {"gross": "115.5 lb", "tare": "15.5 lb", "proof": "134"}
    world.record(
        "collect", "2026-01-12 14:00", still="POT", fraction="hearts", into="RCV-1", gauge=weighed
    )
    assert Movement.objects.get(purpose="collect").proof == 1340


def test_a_gauge_needs_its_temperature():
    # 27 CFR 30.51: volumes are brought to 60 F
    world = make_world()
    wash_run(world)
    bad = {**gauge("10 gal", "130"), "temperature": ""}
    with pytest.raises(Refused) as refused:
        world.record(
            "collect", "2026-01-12 14:00", still="POT", fraction="hearts", into="RCV-1", gauge=bad
        )
    assert list(refused.value.errors) == ["gauge"]
