"""Every act of the registry is within the reach of the sequences."""

from random import Random

import pytest

from distillery.operations import operations
from tests.distillery.sequences.acts import ACTS
from tests.distillery.sequences.now import Now
from tests.distillery.sequences.plant import begun
from tests.distillery.sequences.playing import Sequence, rolled_back

pytestmark = pytest.mark.django_db
# What must be done just before, for an act that the begun plant has nothing for.
BEFORE = {
    "run-on": "stop-still", "rinse": "dump-to-tank", "void-reading": "ferment-reading",
}  # fmt: skip
TRIES = 40


def test_the_table_names_every_operation_and_no_other():
    assert set(ACTS) == set(operations())


def reached(world, slug):
    """Whether one of a few records is taken; the sentences met on the way."""
    sequence = Sequence(world)
    for seed in range(TRIES):
        with rolled_back():
            if first := BEFORE.get(slug):
                sequence.try_one(
                    first, Now(world, Random(seed), "2026-01-10 09:00"), key=f"b{seed}"
                )
            now = Now(world, Random(seed), "2026-01-10 10:00", seed)
            if sequence.try_one(slug, now, key=f"r{seed}"):
                return True, sequence.told
    return False, sequence.told


def test_every_act_is_taken_at_least_once():
    """None is out of reach: a sequence that never gets there would say nothing of it."""
    world = begun()
    missed = {}
    for slug in ACTS:
        taken, told = reached(world, slug)
        if not taken:
            missed[slug] = sorted({sentence for _, sentence in told})
    assert missed == {}
