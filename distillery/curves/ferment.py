"""The curve of a ferment: gravity and temperature of one wash against the expected path."""

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

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
from distillery.curves.ferment_words import said
from distillery.curves.layout import laid_out
from distillery.curves.plotted import Plotted
from distillery.curves.voided import voided_of
from distillery.models import Reading
from distillery.shown_in import SIGNS, ShownIn, gravity_words
from ledger import brix, units
from ledger.models import Lot

HEADS = ("When", "Hours", "Gravity", "Expected", "Temperature", "pH", "Note", "By")
CAPTION = (
    "Shaded: where a grain wash usually runs, 36 to 96 hours down to 0.995 to 1.012 (common "
    "practice, no source). The dashed path and the band's shape are our own figures; the yeast's "
    "own sheet decides on warmth."
)


def readings_of(lot: Lot) -> list[Reading]:
    """Every reading of a wash that stands, oldest first, in one query."""
    return list(Reading.objects.standing().filter(lot=lot).order_by("at", "pk"))


def ferment_curve(lot: Lot, *, zone: ZoneInfo, shown: ShownIn) -> Plotted | None:
    """The curve of wash *lot* in the plant's units; None without a gravity or a temperature."""
    rows = readings_of(lot)
    gravities = tuple((row.at, row.gravity) for row in rows if row.gravity is not None)
    warmths = tuple((row.at, row.temperature_f) for row in rows if row.temperature_f is not None)
    panels = _panels(gravities, warmths, shown)
    told, is_odd = said(gravities, warmths, shown)
    chart = laid_out(f"Ferment of {lot.code}", _described(gravities, told), panels, zone=zone)
    if chart is None:
        return None
    start = gravities[0] if gravities else None
    table = tuple(_row(one, start, zone, shown) for one in rows)
    voided = voided_of(lambda row: _row(row, start, zone, shown), HEADS, zone, lot=lot)
    return Plotted(chart, HEADS, table, CAPTION, told, is_odd, voided)


def warmth_in(value: Decimal, unit: str) -> Decimal:
    """Degrees F in the plant's unit."""
    return value if unit == "F" else (value - 32) * 5 / 9


def _scaled(points: Sequence[Point], unit: str) -> tuple[Point, ...]:
    """Gravities in the plant's unit."""
    if unit == "SG":
        return tuple(points)
    return tuple((at, brix.degrees_of(value)) for at, value in points)


def _panels(gravities: Sequence[Point], warmths: Sequence[Point], shown: ShownIn) -> list[Panel]:
    moments = [at for at, _ in (*gravities, *warmths)]
    if not moments:
        return []
    if not gravities:
        return [_warmth(warmths, shown.temperature, (min(moments), max(moments)))]
    ends = (gravities[0][0], until(gravities[0][0], max(moments)))
    panels = [_gravity(gravities, shown.gravity, ends)]
    return [*panels, _warmth(warmths, shown.temperature, ends)] if warmths else panels


def _gravity(gravities: Sequence[Point], unit: str, ends: tuple[datetime, datetime]) -> Panel:
    start, places = gravities[0][1], 3 if unit == "SG" else 1
    expected, fastest, slowest = (
        _scaled(drawn(path, start, *ends), unit) for path in (EXPECTED, FASTEST, SLOWEST)
    )
    read = Line("", _scaled(gravities, unit), places=places, unit=SIGNS[unit])
    path = Line("expected", expected, form="dashed", mark="none", places=places)
    title = "Specific gravity" if unit == "SG" else f"Gravity, {SIGNS[unit]}"
    return Panel(title, (read, path), Band(fastest, slowest))


def _warmth(warmths: Sequence[Point], unit: str, ends: tuple[datetime, datetime]) -> Panel:
    low, high = (tuple((at, warmth_in(edge, unit)) for at in ends) for edge in WARMTH_F)
    points = tuple((at, warmth_in(value, unit)) for at, value in warmths)
    line = Line("", points, mark="square", unit=SIGNS[unit])
    return Panel(f"Temperature, {SIGNS[unit]}", (line,), Band(low, high))


def _described(gravities: Sequence[Point], told: Sequence[str]) -> str:
    count = f"{len(gravities)} gravities over time, with the expected path and band."
    return " ".join((count, *told, "The same figures stand in the table below."))


def _row(row: Reading, start: Point | None, zone: ZoneInfo, shown: ShownIn) -> tuple[str, ...]:
    hours, warmth = hours_between(start[0], row.at) if start else 0, row.temperature_f
    usual = EXPECTED.at(start[1], max(0, hours)) if start else None
    return (
        f"{row.at.astimezone(zone):%-d %b %Y %H:%M}", f"{hours:.1f}" if start else "",
        _plain(row.gravity, shown.gravity, 4), _plain(usual, shown.gravity, 3),
        "" if warmth is None else units.show(warmth, "temperature", shown.temperature),
        "" if row.ph is None else f"{row.ph}", row.note, row.by,
    )  # fmt: skip


def _plain(value: Decimal | None, unit: str, places: int) -> str:
    """The gravity for a column that says what it is."""
    return gravity_words(value, unit, places).removeprefix("SG ")


def last_read(lot: Lot) -> datetime | None:
    """When *lot* was read last."""
    rows = Reading.objects.standing().filter(lot=lot).order_by("-at")
    return rows.values_list("at", flat=True).first()
