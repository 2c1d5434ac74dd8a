"""The curve of a ferment: gravity and temperature of one wash, and what they say in words."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from distillery.check_due import minutes_words
from distillery.curves.chart import Band, Line, Panel, Point
from distillery.curves.expected import (
    EXPECTED,
    FASTEST,
    SLOWEST,
    WARMTH_F,
    drawn,
    hours_between,
    until,
)
from distillery.curves.layout import laid_out
from distillery.curves.plotted import Plotted
from distillery.models import Reading
from ledger import units
from ledger.models import Lot

EQUAL = Decimal("0.001")  # two readings of one wash that differ less are equal
STUCK = timedelta(hours=12)  # common practice, no source: no fall for 12 to 24 hours
FINISHED = timedelta(hours=8)  # common practice, no source: two equal readings 8 to 12 hours apart
END = SLOWEST.end
HEADS = ("When", "Hours", "Gravity", "Expected", "Temperature", "pH", "Note", "By")
CAPTION = (
    "Shaded: where a grain wash usually runs, 36 to 96 hours down to 0.995 to 1.012 (common "
    "practice, no source). The dashed path and the band's shape are our own figures; the yeast's "
    "own sheet decides on warmth."
)


def readings_of(lot: Lot) -> list[Reading]:
    """Every reading of a wash that stands, oldest first, in one query."""
    return list(Reading.objects.standing().filter(lot=lot).order_by("at", "pk"))


def ferment_curve(lot: Lot, *, zone: ZoneInfo, unit: str) -> Plotted | None:
    """The curve of wash *lot*, temperatures in *unit*; None without a gravity or a temperature."""
    rows = readings_of(lot)
    gravities = tuple((row.at, row.gravity) for row in rows if row.gravity is not None)
    warmths = tuple((row.at, row.temperature_f) for row in rows if row.temperature_f is not None)
    panels = _panels(gravities, warmths, unit)
    told, is_odd = said(gravities, warmths, unit)
    chart = laid_out(f"Ferment of {lot.code}", _described(gravities, told), panels, zone=zone)
    if chart is None:
        return None
    start = gravities[0] if gravities else None
    table = tuple(_row(one, start, zone, unit) for one in rows)
    return Plotted(chart, HEADS, table, CAPTION, told, is_odd)


def shown_in(value: Decimal, unit: str) -> Decimal:
    """Degrees F in the plant's unit."""
    return value if unit == "F" else (value - 32) * 5 / 9


def _panels(gravities: Sequence[Point], warmths: Sequence[Point], unit: str) -> list[Panel]:
    panels = []
    if gravities:
        first, start = gravities[0]
        last = until(first, max(at for at, _ in (*gravities, *warmths)))
        paths = {path: drawn(path, start, first, last) for path in (EXPECTED, FASTEST, SLOWEST)}
        expected = Line("expected", paths[EXPECTED], form="dashed", mark="none", places=3)
        lines = (Line("", tuple(gravities), places=3, unit="SG"), expected)
        panels.append(Panel("Specific gravity", lines, Band(paths[FASTEST], paths[SLOWEST])))
    if warmths:
        ends = (gravities[0][0], last) if gravities else (warmths[0][0], warmths[-1][0])
        low, high = (tuple((at, shown_in(edge, unit)) for at in ends) for edge in WARMTH_F)
        points = tuple((at, shown_in(value, unit)) for at, value in warmths)
        line = Line("", points, mark="square", unit=f"°{unit}")
        panels.append(Panel(f"Temperature, °{unit}", (line,), Band(low, high)))
    return panels


def said(
    gravities: Sequence[Point], warmths: Sequence[Point], unit: str = "F"
) -> tuple[tuple[str, ...], bool]:
    """What the readings say, and whether any of it wants looking at."""
    odd = [*_against_the_band(gravities), *_stands(gravities), *_warmth(warmths, unit)]
    calm = [] if odd else [*_finished(gravities), *_falls(gravities, odd)]
    return (*odd, *calm), bool(odd)


def _against_the_band(gravities: Sequence[Point]) -> list[str]:
    if len(gravities) < 2:
        return []
    (first, start), (at, now) = gravities[0], gravities[-1]
    hours = hours_between(first, at)
    if now > SLOWEST.at(start, hours) + EQUAL:
        usual = SLOWEST.at(start, hours)
        return [f"{now:.3f} after {hours:.0f} h, usually {usual:.3f} or lower by then: slow. "
                "Look at temperature, pH and nutrient."]  # fmt: skip
    if now < FASTEST.at(start, hours) - EQUAL:
        usual = FASTEST.at(start, hours)
        return [f"{now:.3f} after {hours:.0f} h, usually {usual:.3f} or higher by then. "
                "Read it again."]  # fmt: skip
    return []


def _still_since(gravities: Sequence[Point]) -> timedelta:
    """For how long the last gravity has not fallen."""
    at, now = gravities[-1]
    since = at
    for before, value in reversed(gravities[:-1]):
        if abs(value - now) > EQUAL:
            break
        since = before
    return at - since


def _stands(gravities: Sequence[Point]) -> list[str]:
    if len(gravities) < 2 or gravities[-1][1] <= END or _still_since(gravities) < STUCK:
        return []
    long = minutes_words(_still_since(gravities))
    return [f"Not fallen for {long} and still above {END}: stuck. Look at temperature, pH and "
            "nutrient."]  # fmt: skip


def _finished(gravities: Sequence[Point]) -> list[str]:
    if len(gravities) < 2 or gravities[-1][1] > END or _still_since(gravities) < FINISHED:
        return []
    return [f"Equal readings over {minutes_words(_still_since(gravities))}: done. Distil soon."]


def _warmth(warmths: Sequence[Point], unit: str) -> list[str]:
    if not warmths or WARMTH_F[0] <= warmths[-1][1] <= WARMTH_F[1]:
        return []
    low, high = (units.show(edge, "temperature", unit) for edge in WARMTH_F)
    now = units.show(warmths[-1][1], "temperature", unit)
    return [f"{now}, usually {low} to {high}; the yeast's sheet decides."]


def _falls(gravities: Sequence[Point], odd: Sequence[str]) -> list[str]:
    if odd or len(gravities) < 2 or _finished(gravities):
        return []
    (first, start), (at, now) = gravities[0], gravities[-1]
    fall = f"{start:.3f} to {now:.3f} in {hours_between(first, at):.0f} h"
    return [f"From {fall}, inside the usual band."]


def _described(gravities: Sequence[Point], told: Sequence[str]) -> str:
    count = f"{len(gravities)} gravities over time, with the expected path and band."
    return " ".join((count, *told, "The same figures stand in the table below."))


def _row(row: Reading, start: Point | None, zone: ZoneInfo, unit: str) -> tuple[str, ...]:
    hours = "" if start is None else f"{hours_between(start[0], row.at):.1f}"
    usual = "" if start is None else f"{EXPECTED.at(start[1], hours_between(start[0], row.at)):.3f}"
    warmth = row.temperature_f
    return (
        f"{row.at.astimezone(zone):%-d %b %Y %H:%M}", hours,
        "" if row.gravity is None else f"{row.gravity:.4f}", usual,
        "" if warmth is None else units.show(warmth, "temperature", unit),
        "" if row.ph is None else f"{row.ph}", row.note, row.by,
    )  # fmt: skip


def last_read(lot: Lot) -> datetime | None:
    """When *lot* was read last."""
    rows = Reading.objects.standing().filter(lot=lot).order_by("-at")
    return rows.values_list("at", flat=True).first()
