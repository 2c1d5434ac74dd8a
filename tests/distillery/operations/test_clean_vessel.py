"""Cleaning: a record without movement, shown until something is put into the vessel."""

import pytest

from distillery.models import Remark
from distillery.pages.standing import held_now
from distillery.recording import Asked, Refused
from distillery.remarks import states_of
from ledger.models import Movement
from tests.distillery.operations.plant_floor import mash
from tests.world import make_world

pytestmark = pytest.mark.django_db

AT = "2026-01-06 08:00"
STEPS = [
    {"what": "rinse"}, {"what": "caustic", "strength": "2 %", "temperature": "140 F"},
    {"what": "sanitizer", "strength": "200 ppm", "minutes": "10 min"},
]  # fmt: skip


def titles(world) -> list[str]:
    return [one.title for one in states_of(held_now(world.premises), world.premises).values()]


def clean(world, vessel: str = "FV-1", at: str = AT, **more):
    fields = {"vessel": vessel, "steps": STEPS, "is_ready": True, "inspected_by": "Bo"}
    return world.record("clean-vessel", at, **{**fields, **more})


def test_it_moves_nothing_and_stands_on_the_card():
    world = make_world()
    clean(world)
    assert not Movement.objects.exists()
    assert titles(world) == ["Clean, ready"]
    assert Remark.objects.get().words == (
        "FV-1 cleaned: rinse, caustic 2 %, sanitizer 200 ppm; looked over by Bo."
    )


def test_it_holds_until_something_is_put_in():
    world = make_world()
    clean(world)
    mash(world, wash="140 gal", confirm=["odd-strength"])
    assert titles(world) == []


def test_a_mash_before_the_cleaning_does_not_undo_it():
    world = make_world()
    mash(world, wash="140 gal", confirm=["odd-strength"])
    world.record("destroy-wash", "2026-01-07 09:00", vessel="FV-1", fate="destroyed")
    clean(world, at="2026-01-07 12:00")
    assert titles(world) == ["Clean, ready"]


def test_cleaned_and_not_ready_is_another_word():
    world = make_world()
    clean(world, is_ready=False)
    assert titles(world) == ["Cleaned, not ready"]


def test_taken_back_it_says_nothing():
    world = make_world()
    done = clean(world)
    world.record("reverse", AT, entry=str(done.entry.number), reason="Other vessel")
    assert titles(world) == []


def test_a_cleaning_recorded_late_is_older_than_the_mash_after_it():
    world = make_world()
    mash(world, wash="140 gal", confirm=["odd-strength"])
    clean(world)
    world.record("destroy-wash", "2026-01-07 09:00", vessel="FV-1", fate="destroyed")
    assert titles(world) == []


def test_an_entry_without_its_permit_is_asked_about():
    # 29 CFR 1910.146: entry by permit, attendant outside, air tested
    world = make_world()
    with pytest.raises(Asked) as asked:
        clean(world, entered=True, permit="12")
    (question,) = asked.value.plan.questions
    assert (question.code, "no attendant or air readings" in question.text) == (
        "entry-permit",
        True,
    )
    clean(world, entered=True, permit="12", attendant="Ada", air="20.9 % O2, 0 % LFL, 400 ppm CO2")


def test_a_vessel_with_something_in_it_is_asked_about():
    world = make_world()
    mash(world, wash="140 gal", confirm=["odd-strength"])
    with pytest.raises(Asked) as asked:
        clean(world, at="2026-01-07 12:00")
    assert [q.code for q in asked.value.plan.questions] == ["not-empty"]


def test_a_cleaning_that_says_nothing_is_refused():
    world = make_world()
    with pytest.raises(Refused) as refused:
        world.record("clean-vessel", AT, vessel="FV-1")
    assert list(refused.value.errors) == ["steps"]
