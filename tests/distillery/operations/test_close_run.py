"""Closing a run: gallons to residue, alcohol in against alcohol out."""

import pytest

from distillery.recording import Asked
from ledger.models import Movement
from ledger.verifying import verify
from tests.distillery.operations.plant_floor import charge, collect, held, mash
from tests.distillery.stock import moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db

AT = "2026-01-12 20:00"


def wash_run(world, **more):
    mash(world, wash="140 gal", confirm=["odd-strength"], **more)
    return charge(world, "FV-1")


def test_what_is_left_of_a_wash_is_residue():
    world = make_world()
    wash_run(world)
    collect(world, "low wines", "40 gal", "50")
    world.record("close-run", AT, still="POT")
    assert moved("production", "residue", "run") == (0, 10000, 0)
    assert held("production", "POT") == (0, 0)


def test_every_gallon_of_the_charge_is_accounted_for():
    world = make_world()
    wash_run(world)
    collect(world, "low wines", "40 gal", "50")
    world.record("close-run", AT, still="POT", stillage="104 gal")
    charged = moved("fermenting", "production", "charge")[1]
    steam = moved("contraction", "production", "reduce")[1]
    out = moved("production", "production", "cut")[1] + moved("production", "residue", "run")[1]
    assert (steam, charged + steam) == (400, out)


def test_a_wash_run_gives_its_difference_to_distilled():
    # nobody gauged the wash, so a difference is no loss of gauged spirits
    world = make_world()
    put(world, "production", "FEINTS", "F-1", wine="20", proof="8", stage="fraction")
    mash(world, wash="120 gal", confirm=["odd-strength"])
    charge(world, "FV-1", "FEINTS")
    collect(world, "low wines", "15 gal", "50")
    world.record("close-run", AT, still="POT", confirm=["fraction-missing"])
    assert moved("production", "distilled", "run_balance") == (0, 0, 50)
    assert not Movement.objects.filter(to_account="loss").exists()


def test_a_run_of_spirits_alone_has_a_loss():
    # 27 CFR 19.585(a)(2): losses before the production gauge stand in the daily records
    world = make_world()
    put(world, "redistil", "NS", "N-1", wine="50", proof="38")
    charge(world, "NS", family="gin", type_code="")
    collect(world, "hearts", "23 gal", "160")
    world.record("close-run", AT, still="POT")
    assert moved("production", "loss", "run") == (0, 0, 120)


def test_a_fraction_that_seems_missing_is_asked_about():
    # a charge of spirits gives 96 to 100 % back (common practice, no source)
    world = make_world()
    put(world, "redistil", "NS", "N-1", wine="50", proof="38")
    charge(world, "NS", family="gin", type_code="")
    collect(world, "hearts", "10 gal", "160")
    with pytest.raises(Asked) as asked:
        world.record("close-run", AT, still="POT")
    assert [q.code for q in asked.value.plan.questions] == ["fraction-missing"]


def test_alcohol_out_is_shown_against_the_wash_by_its_gravities():
    # 140 gal x (1.050 - 1.010) x 131.25 % / 50 = 14.70 PG; 131.25 from memory
    world = make_world()
    wash_run(world, gravity="1.050")
    world.record("ferment-reading", "2026-01-10 09:00", vessel="FV-1", gravity="1.010")
    collect(world, "low wines", "28 gal", "50")
    done = world.record("close-run", AT, still="POT")
    assert done.plan.slips[0].result == (
        ("in", "14.70 PG"), ("out", "14.00 PG"), ("out less in", "-0.70 PG"),
        ("recovered", "95.2 %"),
    )  # fmt: skip


def test_the_still_can_be_charged_again():
    world = make_world()
    wash_run(world)
    collect(world, "low wines", "40 gal", "50")
    world.record("close-run", AT, still="POT")
    charge(world, "RCV-1", at="2026-01-13 08:00")
    assert held("production", "POT") == (4000, 2000)


def test_the_book_stays_true():
    world = make_world()
    wash_run(world)
    collect(world, "low wines", "40 gal", "50")
    world.record("close-run", AT, still="POT")
    assert verify(world.premises).faults == []
