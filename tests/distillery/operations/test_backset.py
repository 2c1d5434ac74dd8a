"""Stillage after the run: kept as backset for a mash, or sent its way."""

import pytest

from distillery.models import Remark
from distillery.recording import Asked, Refused
from ledger.models import Descent, Holding, Movement
from ledger.verifying import verify
from tests.distillery.operations.plant_floor import charge, deliver, held, mash
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = pytest.mark.django_db

AT = "2026-01-12 21:00"


def stilled(world) -> str:
    """A run of 140 gal of wash that left 100 gal of stillage; its code."""
    mash(world, wash="140 gal", confirm=["odd-strength"])
    run = charge(world, "FV-1")
    world.record("close-run", "2026-01-12 20:00", still="POT", stillage="100 gal")
    return run


def keep(world, run: str, volume: str, **more):
    fields = {"run": run, "volume": volume, "into": "S-2", "ph": "3.9", **more}
    return world.record("keep-backset", AT, **fields).entry.lots_opened.get()


def test_backset_is_a_material_in_gallons_whose_parent_is_the_run():
    # 27 CFR 19.581(h): liquids in gallons; 19.585(a)(3): traced
    world = make_world()
    run = stilled(world)
    backset = keep(world, run, "40 gal")
    assert (backset.unit, backset.stage, Holding.objects.get(lot=backset).amount) == (
        "gal", "material", 4000,
    )  # fmt: skip
    assert Descent.objects.filter(parent__code=run, child=backset).exists()


def test_a_mash_uses_it_as_it_uses_any_material():
    # 27 CFR 19.584(b): materials used
    world = make_world()
    backset = keep(world, stilled(world), "40 gal")
    grains = [{"lot": deliver(world, "CORN", "400 lb"), "quantity": "400 lb"}]
    more = [{"lot": backset.code, "quantity": "40 gal"}]
    world.record(
        "mash", "2026-01-13 10:00", grains=grains, enzymes=more, into="FV-2", wash="200 gal"
    )
    assert Holding.objects.get(lot=backset).amount == 0
    assert Descent.objects.filter(parent=backset, child__stage="wash").exists()
    assert held("fermenting", "FV-2") == (20000, 0)
    assert verify(world.premises).faults == []


def test_more_than_the_run_left_is_asked_about():
    world = make_world()
    run = stilled(world)
    keep(world, run, "60 gal")
    with pytest.raises(Asked) as asked:
        keep(world, run, "40.01 gal", into="S-1")
    assert [q.code for q in asked.value.plan.questions] == ["more-than-stillage"]


def test_a_tank_of_spirits_is_no_place_for_it():
    world = make_world()
    run = stilled(world)
    put(world, "storage", "S-1", "A", wine="20", proof="30")
    with pytest.raises(Refused) as refused:
        keep(world, run, "40 gal", into="S-1")
    assert list(refused.value.errors) == ["into"]


def test_what_is_no_run_is_refused():
    world = make_world()
    corn = deliver(world, "CORN", "400 lb")
    with pytest.raises(Refused) as refused:
        keep(world, corn, "40 gal")
    assert list(refused.value.errors) == ["run"]


def test_the_way_of_stillage_moves_nothing_and_is_told_of_the_run():
    # stillage is strong waste whose route is recorded (common practice, no source)
    world = make_world()
    run = stilled(world)
    before = Movement.objects.count()
    fields = {"run": run, "volume": "60 gal", "route": "feed", "to_name": "Dune Farm (invented)"}
    done = world.record("route-stillage", AT, **fields)
    assert Movement.objects.count() == before
    remark = Remark.objects.get()
    told = f"60.00 gal of stillage of {run}: animal feed, Dune Farm (invented)."
    assert (remark.lot.code, remark.words) == (run, told)
    world.record("reverse", AT, entry=str(done.entry.number), reason="Another run")
    assert Remark.objects.get().is_void


def test_the_way_told_on_closing_stands_with_the_run():
    world = make_world()
    mash(world, wash="140 gal", confirm=["odd-strength"])
    run = charge(world, "FV-1")
    world.record("close-run", "2026-01-12 20:00", still="POT", stillage="100 gal", route="hauler")
    remark = Remark.objects.get()
    assert (remark.lot.code, remark.words) == (run, f"Stillage of {run}: hauler.")
