"""A ferment's curve: where it is expected, and what its readings say."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from distillery.curves.expected import EXPECTED, FASTEST, SLOWEST
from distillery.curves.ferment import ferment_curve, said
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
        (over((0, "1.060"), (48, "1.055")), ("slow",), True),
        (over((0, "1.060"), (6, "1.010")), ("Read it again",), True),
        (over((0, "1.060"), (60, "1.020"), (74, "1.020")), ("stuck",), True),
        (over((0, "1.060"), (70, "1.000"), (80, "1.000")), ("10 h: done",), False),
    ],
)
def test_the_gravities_say_what_to_do(gravities, words, is_odd):
    told, odd = said(gravities, ())
    assert odd is is_odd
    for word in words:
        assert word in " ".join(told)
    assert bool(told) is bool(words)


def test_warmth_outside_is_told_in_the_plants_unit():
    told, odd = said((), over((0, "98")), "C")
    assert odd
    assert told == ("36.7 °C, usually 21.1 °C to 32.2 °C; the yeast's sheet decides.",)


@pytest.mark.django_db
def test_its_rows_are_the_readings_beside_the_expected_gravity():
    world = make_world()
    wash = mash(world, gravity="1.060")
    world.record(
        "ferment-reading", "2026-01-09 10:00", vessel="FV-1", gravity="1.004", temperature="86 F"
    )
    lot = Lot.objects.get(code=wash)
    found = ferment_curve(lot, zone=ZONE, unit="F")
    assert found.rows[0][:4] == ("6 Jan 2026 10:00", "0.0", "1.0600", "1.060")
    assert found.rows[1][:5] == ("9 Jan 2026 10:00", "72.0", "1.0040", "1.003", "86.0 °F")
    assert found.chart.panels[0].band
    assert len(found.chart.panels) == 2


@pytest.mark.django_db
def test_a_wash_nobody_read_has_no_curve():
    world = make_world()
    lot = Lot.objects.get(code=mash(world))
    assert ferment_curve(lot, zone=ZONE, unit="F") is None
