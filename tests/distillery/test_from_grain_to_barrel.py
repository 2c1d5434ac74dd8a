"""One whisky from the grain to the barrel, over a month's end."""

import pytest

from ledger.models import Holding, Movement
from ledger.models.book import LIVE
from ledger.verifying import verify
from tests.distillery.operations.plant_floor import charge, collect, deliver, gauge, held, mash
from tests.world import World, make_barrels, make_world

pytestmark = pytest.mark.django_db

ODD = {"confirm": ["odd-strength"]}


def distil(world: World) -> None:
    """Two mashes, a stripping run of both, a spirit run with feints over midnight, one barrel."""
    make_barrels(world.premises, "B-1", rated=10)
    yeast = deliver(world, "YEAST", "2,000 g", "SHELF")
    for into in ("FV-1", "FV-2"):
        mash(world, into=into, wash="72 gal", **ODD)
        yeasts = [{"lot": yeast, "quantity": "200 g"}]
        world.record("pitch", "2026-01-06 17:00", vessel=into, yeasts=yeasts)
    charge(world, "FV-1", "FV-2", at="2026-01-30 08:00")
    collect(world, "low wines", "48 gal", "56", at="2026-01-30 15:00")
    world.record("close-run", "2026-01-30 16:00", still="POT", stillage="97 gal")
    charge(world, "RCV-1", at="2026-01-31 18:00")
    collect(world, "heads", "1 gal", "150", into="FEINTS", at="2026-01-31 20:00")
    collect(world, "hearts", "8 gal", "132", into="RCV-2", at="2026-01-31 23:40")
    collect(world, "hearts", "2.1 gal", "124", into="RCV-2", at="2026-02-01 00:50")
    collect(world, "tails", "11 gal", "90", into="FEINTS", at="2026-02-01 04:00")
    world.record("close-run", "2026-02-01 05:00", still="POT")
    world.record("reduce", "2026-02-01 09:00", vessel="RCV-2", water="0.45 gal")
    world.record(
        "production-gauge", "2026-02-01 10:00", vessel="RCV-2", account="storage",
        gauge=gauge("10.5 gal", "124.9"), barrels=[{"barrel": "B-1"}], family="whisky",
        type_code="bourbon", distilled_at="139",
    )  # fmt: skip


def test_it_ends_in_a_barrel_and_the_feints_stay_in_production():
    world = make_world()
    distil(world)
    # 27 CFR 19.289(d): 10.5 x 124.9 / 100 = 13.1145, to the nearest 0.1
    assert held("storage", "B-1") == (1050, 1310)
    # 1 x 1.50 + 11 x 0.90
    assert held("production", "FEINTS") == (1200, 1140)
    assert verify(world.premises).faults == []


def test_alcohol_is_conserved_from_the_still_to_the_barrel():
    world = make_world()
    distil(world)
    boundary = {"distilled": 1, "gain": 1, "loss": -1, "residue": -1}
    made = 0
    for row in Movement.objects.all():
        made += boundary.get(row.from_account, 0) * row.proof_gallons
        made += boundary.get(row.to_account, 0) * row.proof_gallons
    standing = sum(row.proof_gallons for row in Holding.objects.filter(LIVE))
    assert made == standing == 1310 + 1140


def test_a_stripping_run_of_two_fermenters_leaves_both_empty():
    world = make_world()
    distil(world)
    assert held("fermenting", "FV-1") == held("fermenting", "FV-2") == (0, 0)
