"""Charging a still: what goes in becomes one run, traced to all of it."""

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Descent, Lot, Movement
from tests.distillery.operations.plant_floor import charge, deliver, held, mash
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = pytest.mark.django_db


def test_wash_goes_in_as_gallons_without_proof_gallons():
    # spirits first count when they are gauged; distilling material is wine gallons, 19.584(c)
    world = make_world()
    mash(world, wash="140 gal", confirm=["odd-strength"])
    charge(world, "FV-1")
    assert held("production", "POT") == (14000, 0)
    assert held("fermenting", "FV-1") == (0, 0)


def test_two_fermenters_make_one_run():
    # 27 CFR 19.585(a)(3): the run is traced to both mashes
    world = make_world()
    washes = {
        mash(world, into=into, wash="70 gal", confirm=["odd-strength"]) for into in ("FV-1", "FV-2")
    }
    run = charge(world, "FV-1", "FV-2")
    parents = Descent.objects.filter(child__code=run).values_list("parent__code", flat=True)
    assert set(parents) == washes
    assert held("production", "POT") == (14000, 0)


def test_a_part_of_a_fermenter_can_be_charged():
    world = make_world()
    mash(world, wash="200 gal")
    sources = [{"vessel": "FV-1", "volume": "140 gal"}]
    world.record(
        "charge", "2026-01-12 08:00", still="POT", sources=sources, family="whisky"
    )  # fmt: skip
    assert held("fermenting", "FV-1") == (6000, 0)


def test_feints_take_their_proof_gallons_along_by_proportion():
    # 27 CFR 30.51: proof gallons = wine gallons x proof / 100; 20 of 40 gal at 50 proof
    world = make_world()
    put(world, "production", "FEINTS", "F-1", wine="40", proof="20", stage="fraction")
    sources = [{"vessel": "FEINTS", "volume": "20 gal"}]
    world.record(
        "charge", "2026-01-12 08:00", still="POT", sources=sources, family="whisky"
    )  # fmt: skip
    assert held("production", "POT") == (2000, 1000)


def test_spirits_received_for_redistillation_mark_the_run():
    # TTB F 5110.40 keeps spirits made by redistillation apart (line 15 and Part V)
    world = make_world()
    put(world, "redistil", "NS", "N-1", wine="20", proof="38")
    run = charge(world, "NS", family="gin", type_code="", water="30 gal")
    designation = Lot.objects.get(code=run).designation
    assert (designation.redistilled, designation.class_code) == (True, "gin")


def test_water_in_the_charge_adds_gallons_only():
    world = make_world()
    put(world, "redistil", "NS", "N-1", wine="20", proof="38")
    charge(world, "NS", family="gin", type_code="", water="30 gal")
    assert held("production", "POT") == (5000, 3800)


def test_botanicals_are_parents_of_the_run_and_leave_no_grams_in_it():
    # 27 CFR 19.585(a)(3): traced to what went in
    world = make_world()
    put(world, "redistil", "NS", "N-1", wine="20", proof="38")
    juniper = deliver(world, "JUNIPER", "1,000 g", "SHELF")
    used = [{"lot": juniper, "quantity": "600 g"}]
    run = charge(world, "NS", family="gin", type_code="", water="30 gal", botanicals=used)
    assert Descent.objects.filter(parent__code=juniper, child__code=run).exists()
    assert not Movement.objects.filter(to_account="production", amount__gt=0).exists()


def test_a_strong_charge_is_asked_about():
    # charge under 40 % ABV (common practice, no source): 30 gal of 127 proof are not
    world = make_world()
    put(world, "redistil", "NS", "N-1", wine="30", proof="38")
    with pytest.raises(Asked) as asked:
        charge(world, "NS", family="gin", type_code="")
    assert [q.code for q in asked.value.plan.questions] == ["strong-charge"]


def test_more_than_the_still_holds_is_asked_about():
    world = make_world()
    mash(world, wash="200 gal")
    with pytest.raises(Asked) as asked:
        charge(world, "FV-1")
    assert [q.code for q in asked.value.plan.questions] == ["over-capacity"]


def test_a_still_with_a_run_in_it_is_refused_beside_its_field():
    world = make_world()
    mash(world, wash="140 gal", confirm=["odd-strength"])
    charge(world, "FV-1")
    mash(world, wash="140 gal", into="FV-2", confirm=["odd-strength"])
    with pytest.raises(Refused) as refused:
        charge(world, "FV-2")
    assert list(refused.value.errors) == ["still"]


def test_spirits_in_storage_are_not_charged_before_they_are_drawn():
    # 27 CFR 19.316: spirits go to the production account to be redistilled
    world = make_world()
    put(world, "storage", "S-1", "S-9", wine="20", proof="30")
    with pytest.raises(Refused, match="Draw it for redistillation first"):
        charge(world, "S-1")


def test_more_wash_than_the_book_has_is_offered_as_found():
    world = make_world()
    mash(world, wash="100 gal", confirm=["odd-strength"])
    sources = [{"vessel": "FV-1", "volume": "110 gal"}]
    with pytest.raises(Asked) as asked:
        world.record(
            "charge", "2026-01-12 08:00", still="POT", sources=sources, family="whisky"
        )  # fmt: skip
    assert [q.code for q in asked.value.plan.questions] == ["found-more"]
