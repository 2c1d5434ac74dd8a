"""A ferment's curve: where it is expected, and what its readings say."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from distillery.curves.expected import EXPECTED, FASTEST, SLOWEST
from distillery.curves.ferment import ferment_curve
from distillery.curves.ferment_words import said
from distillery.shown_in import ShownIn
from ledger.models import Lot
from tests.distillery.operations.plant_floor import mash
from tests.world import ZONE, make_world

START = datetime(2026, 1, 6, 15, 0, tzinfo=UTC)
OG = Decimal("1.060")


def over(*pairs):
    """(hours, figure) as points."""
    return tuple((START + timedelta(hours=h), Decimal(str(value))) for h, value in pairs)


@pytest.mark.parametrize(
    ("path", "hours", "gravity"),
    # Our own figures: 95 % of the fall to 1.000, 0.995 or 1.012 is gone after 72, 36, 96 hours.
    [(EXPECTED, 0, "1.060"), (EXPECTED, 72, "1.003"), (FASTEST, 36, "0.99825"),
     (SLOWEST, 12, "1.060"), (SLOWEST, 96, "1.0144")],
)  # fmt: skip
def test_the_paths_are_as_told(path, hours, gravity):
    assert path.at(OG, hours) == pytest.approx(Decimal(gravity), abs=Decimal("0.0001"))


@pytest.mark.parametrize(
    ("gravities", "words", "is_odd"),
    [
        (over((0, "1.060")), (), False),
        (over((0, "1.060"), (24, "1.030")), ("inside the usual band",), False),
        (over((0, "1.060"), (48, "1.055")), ("Slower than usual: 1.055 after 48 h",), True),
        (over((0, "1.060"), (6, "1.010")), ("Faster than usual", "Read it again"), True),
        (over((0, "1.060"), (60, "1.020"), (74, "1.020")), ("Stuck: not fallen for 14 h",), True),
        (
            over((0, "1.060"), (70, "1.000"), (80, "1.000")),
            ("Done: equal readings over 10 h",),
            False,
        ),
    ],
)
def test_the_gravities_say_what_to_do(gravities, words, is_odd):
    told, odd = said(gravities, (), ShownIn())
    assert odd is is_odd
    for word in words:
        assert word in " ".join(told)
    assert bool(told) is bool(words)


def test_warmth_outside_is_told_in_the_plants_unit():
    told, odd = said((), over((0, "98")), ShownIn("C"))
    assert odd
    assert told == (
        "Warmer than usual: 36.7 °C, usually 21.1 °C to 32.2 °C; the yeast's sheet decides.",
    )


def test_gravity_is_told_and_drawn_in_the_plants_unit():
    told, _ = said(over((0, "1.0611"), (48, "1.0484")), (), ShownIn(gravity="P"))
    # 15 and 12 degrees Plato: brewers' table of extract (from memory).
    assert told[0].startswith("Slower than usual: 12.0 °P after 48 h, usually")


@pytest.mark.django_db
def test_its_rows_are_the_readings_beside_the_expected_gravity():
    world = make_world()
    wash = mash(world, gravity="1.060")
    world.record(
        "ferment-reading", "2026-01-09 10:00", vessel="FV-1", gravity="1.004", temperature="86 F"
    )
    lot = Lot.objects.get(code=wash)
    found = ferment_curve(lot, zone=ZONE, shown=ShownIn())
    assert found.rows[0][:4] == ("6 Jan 2026 10:00", "0.0", "1.0600", "1.060")
    assert found.rows[1][:5] == ("9 Jan 2026 10:00", "72.0", "1.0040", "1.003", "86.0 °F")
    assert found.chart.panels[0].band
    assert len(found.chart.panels) == 2


@pytest.mark.django_db
def test_a_plant_that_reads_plato_sees_plato():
    world = make_world()
    wash = mash(world, gravity="15 P")
    world.record("ferment-reading", "2026-01-09 10:00", vessel="FV-1", gravity="12 °P")
    found = ferment_curve(Lot.objects.get(code=wash), zone=ZONE, shown=ShownIn(gravity="P"))
    assert [row[2] for row in found.rows] == ["15.0 °P", "12.0 °P"]
    assert found.chart.panels[0].title == "Gravity, °P"
    assert found.chart.panels[0].lines[0].words == "12.0 °P"


@pytest.mark.django_db
def test_what_was_voided_is_told_beside_the_curve():
    world = make_world()
    wash = mash(world, gravity="1.060")
    world.record("ferment-reading", "2026-01-09 10:00", key="r1", vessel="FV-1", gravity="1.004")
    world.record("void-reading", "2026-01-09 10:05", reading="r1", reason="Wrong tank")
    found = ferment_curve(Lot.objects.get(code=wash), zone=ZONE, shown=ShownIn())
    ((told, why),) = found.voided
    assert told == "9 Jan 2026 10:00, gravity 1.0040, by ada"
    assert why.startswith("Voided by ada, ")
    assert why.endswith(": Wrong tank")
    assert len(found.rows) == 1


@pytest.mark.django_db
def test_a_wash_nobody_read_has_no_curve():
    world = make_world()
    lot = Lot.objects.get(code=mash(world))
    assert ferment_curve(lot, zone=ZONE, shown=ShownIn()) is None
