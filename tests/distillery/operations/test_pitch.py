"""Pitching: the yeast's lot becomes a parent of the wash and nothing lingers in it."""

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Descent, Holding
from tests.distillery.operations.plant_floor import deliver, mash
from tests.world import make_world

pytestmark = pytest.mark.django_db

AT = "2026-01-06 16:00"


def test_the_yeast_becomes_a_parent_of_the_wash():
    # 27 CFR 19.585(a)(3): spirits are traced back to what they were made of
    world = make_world()
    yeast = deliver(world, "YEAST", "1,000 g", "SHELF")
    wash = mash(world)
    world.record("pitch", AT, vessel="FV-1", yeasts=[{"lot": yeast, "quantity": "500 g"}])
    assert Descent.objects.filter(parent__code=yeast, child__code=wash).exists()


def test_the_wash_holds_gallons_and_no_grams():
    world = make_world()
    yeast = deliver(world, "YEAST", "1,000 g", "SHELF")
    mash(world)
    world.record("pitch", AT, vessel="FV-1", yeasts=[{"lot": yeast, "quantity": "500 g"}])
    wash = Holding.objects.get(account="fermenting")
    assert (wash.amount, wash.wine_gallons) == (0, 20000)
    assert Holding.objects.get(lot__code=yeast).amount == 50000


def test_yeast_that_came_after_the_mash_is_traced_too():
    world = make_world()
    wash, yeast = mash(world), deliver(world, "YEAST", "1,000 g", "SHELF")
    world.record("pitch", AT, vessel="FV-1", yeasts=[{"lot": yeast, "quantity": "500 g"}])
    stands = Holding.objects.get(account="fermenting", wine_gallons__gt=0).lot
    parents = Descent.objects.filter(child=stands).values_list("parent__code", flat=True)
    assert set(parents) == {wash, yeast}


def test_an_empty_fermenter_is_refused_beside_its_field():
    world = make_world()
    yeast = deliver(world, "YEAST", "1,000 g", "SHELF")
    with pytest.raises(Refused) as refused:
        world.record("pitch", AT, vessel="FV-1", yeasts=[{"lot": yeast, "quantity": "500 g"}])
    assert list(refused.value.errors) == ["vessel"]


def test_a_hot_wash_is_asked_about():
    # yeast sheets: 70 to 88 F (common practice, no source)
    world = make_world()
    mash(world)
    yeasts = [{"lot": deliver(world, "YEAST", "1,000 g", "SHELF"), "quantity": "500 g"}]
    with pytest.raises(Asked) as asked:
        world.record("pitch", AT, vessel="FV-1", yeasts=yeasts, temperature="120 F")
    assert [q.code for q in asked.value.plan.questions] == ["odd-temperature"]
