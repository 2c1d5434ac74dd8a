"""Production before its gauge: feints retired, low wines pooled, spirits spilled.

27 CFR 19.585(a)(2): spirits lost or destroyed before the production gauge stand in the daily
record, and on no line of TTB F 5110.40.
"""

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Descent, Holding, Lot
from ledger.models.book import LIVE
from ledger.verifying import verify
from tests.distillery.operations.plant_floor import charge, collect, gauge, held, mash
from tests.distillery.stock import moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db

AT = "2026-01-13 09:00"


def with_feints(**facts):
    world = make_world()
    told = {"stage": "fraction", "name": "Feints", "class_code": "whisky", **facts}
    put(world, "production", "FEINTS", "F-1", wine="40", proof="20", **told)
    return world


def retire(world, at: str = AT, **more):
    fields = {"vessel": "FEINTS", "fate": "destroyed", "manner": "diluted and drained", **more}
    return world.record("retire-feints", at, **fields)


@pytest.mark.parametrize("fate", ["destroyed", "cleaning", "extraneous"])
def test_retired_feints_are_destroyed_in_production(fate):
    world = with_feints()
    done = retire(world, fate=fate, gauge=gauge("10 gal", "50"))
    assert moved("production", "destroyed", "destroy") == (0, 1000, 500)
    assert held("production", "FEINTS") == (3000, 1500)
    assert done.entry.document == f"DD-{done.entry.number}"


def test_without_a_gauge_they_count_at_the_books_strength():
    # a measure at the last strength is enough where no tax is due (common practice, no source)
    world = with_feints()
    retire(world, volume="10 gal")
    assert moved("production", "destroyed", "destroy") == (0, 1000, 500)


def test_emptied_the_difference_is_a_regauge():
    world = with_feints()
    retire(world, empties=True, gauge=gauge("39 gal", "50"))
    assert moved("production", "destroyed", "destroy") == (0, 3900, 1950)
    assert moved("production", "loss", "regauge") == (0, 100, 50)
    assert held("production", "FEINTS") == (0, 0)


def test_more_than_the_book_is_asked_about():
    world = with_feints()
    with pytest.raises(Asked) as asked:
        retire(world, empties=True, gauge=gauge("41 gal", "50"))
    assert [q.code for q in asked.value.plan.questions] == ["gauge-gain"]


def test_gauged_spirits_are_no_feints():
    world = make_world()
    put(world, "storage", "S-1", "S-9", wine="20", proof="30")
    with pytest.raises(Refused) as refused:
        retire(world, vessel="S-1", empties=True)
    assert list(refused.value.errors) == ["vessel"]


def test_retired_late_they_leave_as_of_their_day():
    world = with_feints()
    world.record("lose", "2026-01-14 09:00", vessel="FEINTS", cause="spill", volume="4 gal")
    retire(world, volume="10 gal")
    assert held("production", "FEINTS") == (2600, 1300)
    assert verify(world.premises).faults == []


@pytest.mark.parametrize("cause", ["spill", "leak", "theft"])
def test_a_loss_before_the_gauge_is_told_by_its_cause(cause):
    world = with_feints()
    confirm = ["report-theft"] if cause == "theft" else []
    fields = {"vessel": "FEINTS", "cause": cause, "volume": "2 gal"}
    world.record("lose", AT, confirm=confirm, **fields)
    assert moved("production", "loss", cause) == (0, 200, 100)


def test_low_wines_are_pooled_and_moved_between_receivers():
    # 27 CFR 19.585(a)(3): what is pooled is traced to both runs
    world = make_world()
    for run, receiver in (("12", "RCV-1"), ("13", "RCV-2")):
        mash(world, wash="140 gal", at=f"2026-01-{run} 06:00", confirm=["odd-strength"])
        charge(world, "FV-1", at=f"2026-01-{run} 08:00")
        collect(world, "low wines", "25 gal", "50", into=receiver, at=f"2026-01-{run} 14:00")
        world.record("close-run", f"2026-01-{run} 18:00", still="POT")
    world.record("transfer", "2026-01-13 19:00", vessel="RCV-2", to="RCV-1", empties=True)
    assert (held("production", "RCV-1"), held("production", "RCV-2")) == ((5000, 2500), (0, 0))
    pool = Holding.objects.get(LIVE, vessel__code="RCV-1").lot
    parents = Descent.objects.filter(child=pool).values_list("parent__stage", flat=True)
    assert list(parents) == ["fraction", "fraction"]
    world.record("transfer", "2026-01-13 20:00", vessel="RCV-1", to="FEINTS", empties=True)
    assert Holding.objects.get(LIVE, vessel__code="FEINTS").lot == pool
    assert Lot.objects.filter(code=pool.code, stage="fraction").exists()


def test_feints_of_two_kinds_want_to_be_told_what_they_make():
    # TTB F 5110.40 line 17b counts unfinished spirits by kind
    world = with_feints()
    put(world, "production", "RCV-1", "F-2", wine="10", proof="9", stage="fraction",
        class_code="gin", name="Tails")  # fmt: skip
    fields = {"vessel": "RCV-1", "to": "FEINTS", "empties": True}
    with pytest.raises(Refused) as refused:
        world.record("transfer", AT, **fields)
    assert list(refused.value.errors) == ["family"]
    world.record("transfer", AT, family="gin", **fields)
    assert held("production", "FEINTS") == (5000, 2900)
