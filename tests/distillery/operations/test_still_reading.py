"""Readings of a running still: kept once, the strength made true, cuts asked about twice."""

from decimal import Decimal

import pytest

from distillery.models import Reading, StillReading
from distillery.recording import Asked, Refused
from ledger.models import Entry
from tests.distillery.operations.plant_floor import charge, mash
from tests.world import make_world

pytestmark = pytest.mark.django_db

AT = "2026-01-12 09:00"


def running():
    """A whisky run in the pot still; the plant and the run's code."""
    world = make_world()
    mash(world, wash="140 gal", confirm=["odd-strength"])
    return world, charge(world, "FV-1")


def codes(asked) -> list[str]:
    return [question.code for question in asked.value.plan.questions]


def test_it_is_kept_beside_the_book_with_its_true_proof():
    world, run = running()
    before = Entry.objects.count()
    # 27 CFR 30.23: a hydrometer reading of 192.82 at 72.15 F is 190.0 proof.
    world.record(
        "still-reading", AT, still="POT", temperature="178 F", reading="192.82",
        reading_temperature="72.15 F", condenser="64 F", rate="4.5 gal", receiver="RCV-1",
        level="2.5 gal", cut="heads",
    )  # fmt: skip
    row = Reading.objects.get()
    assert (row.proof, row.temperature_f, row.lot.code) == (Decimal("190.0"), 178, run)
    beside = row.still_reading
    assert (beside.hydrometer, beside.hydrometer_f) == (Decimal("192.82"), Decimal("72.15"))
    assert (beside.rate_gal_h, beside.level_gal, beside.receiver.code) == (
        Decimal("4.5"), Decimal("2.5"), "RCV-1",
    )  # fmt: skip
    assert (beside.condenser_f, beside.cut) == (64, "heads")
    assert Entry.objects.count() == before


def test_the_same_record_twice_is_one_reading():
    world, _ = running()
    first = world.record("still-reading", AT, key="r1", still="POT", temperature="178 F")
    again = world.record("still-reading", AT, key="r1", still="POT", temperature="178 F")
    assert (first.is_new, again.is_new) == (True, False)
    assert (Reading.objects.count(), StillReading.objects.count()) == (1, 1)


def test_the_same_key_with_another_reading_is_refused():
    world, _ = running()
    world.record("still-reading", AT, key="r1", still="POT", temperature="178 F")
    with pytest.raises(Refused, match="r1"):
        world.record("still-reading", AT, key="r1", still="POT", temperature="179 F")


@pytest.mark.parametrize(
    ("fields", "name", "words"),
    [
        ({}, "__all__", "Give a temperature"),
        ({"reading": "120"}, "reading_temperature", "like 68 F"),
        ({"reading": "120", "reading_temperature": "130 F"}, "reading_temperature", "0 to 100"),
        ({"reading": "120", "reading_temperature": "68 F", "proof": "118"}, "proof", "either"),
        ({"level": "4 gal"}, "receiver", "which receiver"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_sentence(fields, name, words):
    world, _ = running()
    with pytest.raises(Refused, match=words) as refused:
        world.record("still-reading", AT, still="POT", **fields)
    assert list(refused.value.errors) == [name]


def test_a_reading_of_tomorrow_is_refused():
    world, _ = running()
    with pytest.raises(Refused) as refused:
        world.record("still-reading", "2999-01-01 09:00", still="POT", temperature="178 F")
    assert list(refused.value.errors) == ["at"]


def test_figures_hardly_a_still_shows_are_asked_about_and_then_kept():
    world, _ = running()
    # Water boils at 212 F; alcohol and water stop parting at 97.2 % (from memory).
    odd = {"temperature": "230 F", "condenser": "170 F", "proof": "198", "receiver": "RCV-1",
           "level": "70 gal"}  # fmt: skip
    with pytest.raises(Asked) as asked:
        world.record("still-reading", AT, still="POT", **odd)
    asked_for = ["odd-temperature", "warm-condenser", "odd-proof", "over-full"]
    assert codes(asked) == asked_for
    world.record("still-reading", AT, still="POT", confirm=asked_for, **odd)
    assert Reading.objects.count() == 1


def test_a_cut_that_runs_already_is_asked_about():
    world, _ = running()
    world.record("still-reading", AT, still="POT", cut="hearts", by=world.operator)
    with pytest.raises(Asked, match="Hearts run since 09:00, noted by bo") as asked:
        world.record("still-reading", "2026-01-12 09:01", still="POT", cut="hearts")
    assert codes(asked) == ["same-cut"]


def test_a_still_without_a_run_is_asked_about():
    world = make_world()
    with pytest.raises(Asked) as asked:
        world.record("still-reading", AT, still="POT", temperature="178 F")
    assert codes(asked) == ["no-run"]


def test_a_late_reading_belongs_to_the_run_that_stood_there_then():
    world, run = running()
    world.record("close-run", "2026-01-12 17:00", still="POT")
    done = world.record("still-reading", AT, still="POT", temperature="178 F")
    assert done.reading.lot.code == run
