"""A voided reading stays on record and counts nowhere: common practice, no source, as the book's
own corrections (27 CFR 19.576)."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from distillery.curves.ferment import ferment_curve, last_read
from distillery.models import Membership, Reading, ReadingVoid, StillReading
from distillery.pages.standing import with_last_reading
from distillery.recording import Asked, Refused
from distillery.run_story import story_of
from distillery.runs import run_sums, wash_estimate
from distillery.shown_in import ShownIn
from ledger.looking import Look
from ledger.models import Entry, Lot, Vessel
from tests.distillery.operations.plant_floor import charge, mash
from tests.world import ZONE, World, make_person, make_plant, make_world

pytestmark = pytest.mark.django_db

AT = "2026-01-07 09:00"
MISTYPED = "Read of the wrong tank"


def read(world, at=AT, key="r1", **fields):
    world.record("ferment-reading", at, key=key, vessel="FV-1", **fields)


def void(world, of="r1", **more):
    fields = {"key": "v1", "reason": MISTYPED, "reading": of, **more}
    return world.record("void-reading", "2026-01-07 10:00", **fields)


def last_of(code):
    _, found = with_last_reading(Vessel.objects.filter(code=code))
    return next(iter(found.values()), None)


def test_it_says_who_when_and_why_and_the_reading_stays():
    world = make_world()
    mash(world)
    read(world, gravity="1.040")
    before = Entry.objects.count()
    done = void(world)
    assert (done.is_new, done.entry) == (True, None)
    row = ReadingVoid.objects.get()
    assert (row.reading.key, row.by, row.reason) == ("r1", world.owner.username, MISTYPED)
    assert abs(row.recorded_at - timezone.now()) < timedelta(minutes=1)
    assert row.reading.gravity == Decimal("1.040")
    assert Entry.objects.count() == before


def test_last_values_and_curves_pass_it_over():
    world = make_world()
    wash = Lot.objects.get(code=mash(world, gravity="1.060"))
    read(world, gravity="1.040")
    read(world, "2026-01-08 09:00", key="r2", gravity="0.980")
    void(world, "r2")
    assert last_of("FV-1").key == "r1"
    assert last_read(wash).astimezone(ZONE).day == 7
    curve = ferment_curve(wash, zone=ZONE, shown=ShownIn())
    assert [row[2] for row in curve.rows] == ["1.0600", "1.0400"]


def test_the_next_reading_is_not_held_against_it():
    world = make_world()
    mash(world, gravity="1.060")
    read(world, gravity="1.010")
    with pytest.raises(Asked, match="Gravity usually falls"):
        read(world, "2026-01-07 21:00", key="r2", gravity="1.040")
    void(world)
    read(world, "2026-01-07 21:00", key="r2", gravity="1.040")
    assert Reading.objects.standing().count() == 2


def test_the_estimate_of_a_run_passes_it_over():
    world = make_world()
    mash(world, gravity="1.060", wash="140 gal", confirm=["odd-strength"])
    read(world, gravity="1.000")
    read(world, "2026-01-08 09:00", key="r2", gravity="1.020", confirm=["gravity-rising"])
    run = Lot.objects.get(code=charge(world, "FV-1"))

    def estimate():
        return wash_estimate(run_sums(Look.now(world.premises, timezone.now()), run))

    before = estimate()
    void(world, "r2")
    # 140 gal x (1.060 - 1.000) x 131.25 / 50 = 22.05 PG; (1.060 - 1.020) gives 14.70: common
    # practice, no source.
    assert (before, estimate()) == (1470, 2205)


def test_a_voided_cut_is_no_cut():
    world = make_world()
    mash(world, wash="140 gal", confirm=["odd-strength"])
    run = Lot.objects.get(code=charge(world, "FV-1"))
    world.record("still-reading", "2026-01-12 09:00", key="c1", still="POT", cut="hearts")
    void(world, "c1")
    story = story_of(run, premises=world.premises, now=timezone.now())
    assert (story.readings, story.stretches) == ((), ())
    # Nor is the same cut asked about again.
    world.record("still-reading", "2026-01-12 09:05", key="c2", still="POT", cut="hearts")
    assert StillReading.objects.count() == 2


def test_the_same_record_twice_voids_once():
    world = make_world()
    mash(world)
    read(world, gravity="1.040")
    assert (void(world).is_new, void(world).is_new) == (True, False)
    assert ReadingVoid.objects.count() == 1


@pytest.mark.parametrize(
    ("more", "name", "words"),
    [
        ({"reason": ""}, "reason", "Say why"),
        ({"reading": "nobody"}, "reading", "no such reading"),
        ({"reading": ""}, "reading", "required"),
        ({"key": "v2"}, "reading", "Voided before by .*wrong tank"),
        ({"reading": "r2"}, "__all__", "used to void another reading"),
    ],
)
def test_what_cannot_be_voided_is_refused_with_its_sentence(more, name, words):
    world = make_world()
    mash(world)
    read(world, gravity="1.040")
    read(world, "2026-01-08 09:00", key="r2", gravity="1.030")
    void(world)
    with pytest.raises(Refused, match=words) as refused:
        void(world, **more)
    assert list(refused.value.errors) == [name]
    assert ReadingVoid.objects.count() == 1


def test_another_plants_reading_is_no_reading():
    world = make_world()
    other = World(make_plant("DSP-XX-00002"), make_person(None, "eve", "owner"), None, None)
    Membership.objects.create(user=other.owner, premises=other.premises, role="owner")
    read(other, gravity="1.040")
    with pytest.raises(Refused, match="no such reading"):
        void(world)


def test_an_operator_voids_only_their_own_of_the_day():
    world = make_world()
    mash(world)
    read(world, gravity="1.040")
    with pytest.raises(Refused, match="only what you recorded yourself today"):
        void(world, by=world.operator)
    world.record(
        "ferment-reading", "2026-01-08 09:00", key="r2", vessel="FV-1", gravity="1.030",
        by=world.operator,
    )  # fmt: skip
    void(world, "r2", by=world.operator)
    assert ReadingVoid.objects.get().by == world.operator.username


def test_the_gravity_of_a_mash_taken_back_is_voided_with_it():
    world = make_world()
    mash(world, gravity="1.062")
    entry = Entry.objects.get(operation="mash")
    world.record("reverse", AT, entry=str(entry.number), reason="Another tank")
    row = ReadingVoid.objects.get()
    assert (row.reading.key, row.reason) == (entry.key, "Another tank")
    assert not Reading.objects.standing().exists()


@pytest.mark.parametrize("table", ["reading", "stillreading", "readingvoid"])
def test_the_database_refuses_to_change_or_delete_what_was_read(table):
    world = make_world()
    mash(world, wash="140 gal", confirm=["odd-strength"])
    charge(world, "FV-1")
    world.record("still-reading", "2026-01-12 09:00", key="c1", still="POT", cut="hearts")
    void(world, "c1")
    change = "cut = 'tails'" if table == "stillreading" else "by = 'eve'"
    for statement in (
        f"UPDATE distillery_{table} SET {change}",
        f"DELETE FROM distillery_{table}",
    ):
        with (
            pytest.raises(IntegrityError, match="append-only"),
            transaction.atomic(),
            connection.cursor() as cursor,
        ):
            cursor.execute(statement)
