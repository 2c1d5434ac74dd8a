"""Readings: kept once, never in the book, unlikely figures asked about."""

from decimal import Decimal

import pytest

from distillery.models import Plant, Reading
from distillery.recording import Asked, Refused
from ledger.models import Entry
from tests.distillery.operations.plant_floor import charge, mash
from tests.world import make_world

pytestmark = pytest.mark.django_db

AT = "2026-01-07 09:00"


def test_it_is_kept_beside_the_book():
    world = make_world()
    wash = mash(world)
    before = Entry.objects.count()
    done = world.record(
        "ferment-reading", AT, vessel="FV-1", gravity="1.040", temperature="82 F", ph="4.6"
    )
    row = done.reading
    assert (row.gravity, row.temperature_f, row.ph) == tuple(map(Decimal, ("1.040", "82", "4.6")))
    assert row.lot.code == wash
    assert Entry.objects.count() == before


def test_the_same_record_twice_is_one_reading():
    world = make_world()
    first = world.record("ferment-reading", AT, key="r1", vessel="FV-1", gravity="1.040")
    again = world.record("ferment-reading", AT, key="r1", vessel="FV-1", gravity="1.040")
    assert (first.is_new, again.is_new) == (True, False)
    assert Reading.objects.count() == 1


def test_the_same_key_with_another_reading_is_refused():
    world = make_world()
    world.record("ferment-reading", AT, key="r1", vessel="FV-1", gravity="1.040")
    with pytest.raises(Refused, match="r1"):
        world.record("ferment-reading", AT, key="r1", vessel="FV-1", gravity="1.030")


def test_a_rising_gravity_is_asked_about():
    world = make_world()
    mash(world, gravity="1.020")
    with pytest.raises(Asked, match=r"last 1\.020, now 1\.050"):
        world.record("ferment-reading", AT, vessel="FV-1", gravity="1.050")


def test_a_rising_gravity_is_kept_once_confirmed():
    world = make_world()
    mash(world, gravity="1.020")
    world.record("ferment-reading", AT, vessel="FV-1", gravity="1.050", confirm=["gravity-rising"])
    assert Reading.objects.count() == 2


def test_figures_few_washes_show_are_asked_about():
    world = make_world()
    with pytest.raises(Asked) as asked:
        world.record(
            "ferment-reading", AT, vessel="FV-1", gravity="1.2", temperature="120 F", ph="8"
        )
    codes = [question.code for question in asked.value.plan.questions]
    assert codes == ["odd-gravity", "odd-temperature", "odd-ph"]


def test_a_plant_is_asked_in_its_own_unit():
    world = make_world()
    Plant.objects.update(gravity_unit="Bx")
    world.premises.plant.refresh_from_db()
    mash(world, gravity="10 Bx")
    with pytest.raises(Asked, match=r"last 10\.0 °Bx, now 12\.0 °Bx"):
        world.record("ferment-reading", AT, vessel="FV-1", gravity="12 Bx")


def test_a_gravity_is_kept_to_four_decimals():
    world = make_world()
    row = world.record("ferment-reading", AT, vessel="FV-1", gravity="1.03125").reading
    row.refresh_from_db()
    assert row.gravity == Decimal("1.0313")


def test_a_still_has_a_reading_of_its_own():
    world = make_world()
    with pytest.raises(Refused) as refused:
        world.record("ferment-reading", AT, vessel="POT", temperature="195 F")
    assert list(refused.value.errors) == ["vessel"]


def test_a_late_reading_belongs_to_the_wash_that_stood_there_then():
    world = make_world()
    wash = mash(world, wash="140 gal", confirm=["odd-strength"])
    charge(world, "FV-1")
    done = world.record("ferment-reading", "2026-01-10 09:00", vessel="FV-1", gravity="1.010")
    assert done.reading.lot.code == wash


def test_a_reading_without_a_figure_is_refused():
    world = make_world()
    with pytest.raises(Refused, match="Give a gravity"):
        world.record("ferment-reading", AT, vessel="FV-1")


def test_a_reading_of_tomorrow_is_refused():
    world = make_world()
    with pytest.raises(Refused) as refused:
        world.record("ferment-reading", "2999-01-01 09:00", vessel="FV-1", gravity="1.04")
    assert list(refused.value.errors) == ["at"]
