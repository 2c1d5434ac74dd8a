"""A strength far from the book's is asked about once, and never blocked."""

import pytest

from distillery.recording import Asked
from tests.distillery.operations.plant_floor import charge, collect, gauge, mash
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = pytest.mark.django_db
AT = "2026-03-01 12:00"


@pytest.fixture
def world():
    world = make_world()
    # 100 gallons with 118 proof gallons are 118 proof (27 CFR 30.11).
    put(world, "storage", "S-1", "N-1", wine="100", proof="118")
    return world


def dump(world, volume, proof, **more):
    row = {"vessel": "S-1", **gauge(volume, proof)}
    return world.record("dump", AT, vessels=[row], into="P-1", **more)


def test_a_proof_far_from_the_last_is_asked_about(world):
    with pytest.raises(Asked) as asked:
        dump(world, "60 gal", "181")
    question = asked.value.plan.questions[0]
    assert question.code == "far-from-last"
    assert question.text == "S-1: last 118.0 proof by the book, now 181.0. Keep it?"
    assert dump(world, "60 gal", "181", confirm=["far-from-last"]).is_new


def test_a_proof_near_the_last_is_not(world):
    # Twenty degrees are our own figure.
    assert dump(world, "100 gal", "98").is_new


def test_new_spirits_are_stronger_than_what_was_charged(world):
    # A still raises the proof: common practice, no source.
    mash(world)
    charge(world, "FV-1", confirm=["over-capacity"])
    assert collect(world, "hearts", "10 gal", "140").is_new
