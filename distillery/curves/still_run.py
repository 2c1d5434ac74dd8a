"""The curve of a still run: strength and temperatures over time, with the cuts marked."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from distillery.botanicals import spells_of
from distillery.curves.chart import Event, Line, Panel, Point
from distillery.curves.ferment import warmth_in
from distillery.curves.layout import laid_out
from distillery.curves.plotted import Plotted
from distillery.curves.voided import voided_of
from distillery.models import Reading
from distillery.remarks import TITLES
from distillery.run_story import Story, beside
from ledger import units

HEADS = ("When", "Head", "Condenser", "Hydrometer", "Proof", "Flow, gal/h", "Into", "Holds", "Note",
         "By")  # fmt: skip
CAPTION = (
    "Proof at 60 °F, from the hydrometer as read and its temperature (27 CFR 30.23). Upright lines "
    "are the cuts, and where the still was stopped and run on."
)
NO_FIGURES = "No figure is noted yet."


def run_curve(story: Story, *, zone: ZoneInfo, unit: str) -> Plotted | None:
    """The curve of a run, temperatures in *unit*; None without a figure."""
    proofs = tuple((row.at, row.proof) for row in story.readings if row.proof is not None)
    heads = tuple(_warmths(((r.at, r.temperature_f) for r in story.readings), unit))
    more = ((row.at, beside(row)) for row in story.readings)
    coolant = tuple(_warmths(((at, one.condenser_f) for at, one in more if one), unit))
    panels = (
        Panel("Strength at the parrot, proof at 60 °F", (Line("", proofs, unit="proof"),)),
        Panel(
            f"Temperature, °{unit}",
            (
                Line("head", heads, mark="square", unit=f"°{unit}"),
                Line("condenser", coolant, form="dashed", unit=f"°{unit}"),
            ),
        ),
    )
    chart = laid_out(
        f"Run {story.run.code}: strength and temperature", _described(proofs, heads, story),
        panels, zone=zone, events=events_of(story),
    )  # fmt: skip
    if chart is None:
        return None
    voided = voided_of(
        lambda row: _row(row, zone, unit),
        HEADS,
        zone,
        lot__in=spells_of(story.run),
        vessel=story.still,
    )
    return Plotted(chart, HEADS, rows_of(story, zone=zone, unit=unit), CAPTION, voided=voided)


def _warmths(rows: Iterable[tuple[Any, Decimal | None]], unit: str) -> Iterable[Point]:
    return ((at, warmth_in(value, unit)) for at, value in rows if value is not None)


def events_of(story: Story) -> list[Event]:
    """Cuts, or the collections where no cut was noted, and each stop."""
    noted = {one.fraction for one in story.stretches}
    events = [Event(one.since, one.fraction) for one in story.stretches]
    events += [
        Event(one.at, f"{one.fraction} in") for one in story.collected if one.fraction not in noted
    ]
    return events + [Event(one.at, TITLES.get(one.kind, "run on").lower()) for one in story.stops]


def rows_of(story: Story, *, zone: ZoneInfo, unit: str) -> tuple[tuple[str, ...], ...]:
    """Every reading as text, oldest first."""
    return tuple(_row(one, zone, unit) for one in story.readings)


def _row(row: Reading, zone: ZoneInfo, unit: str) -> tuple[str, ...]:
    more = beside(row)
    return (
        f"{row.at.astimezone(zone):%-d %b %H:%M}", _warm(row.temperature_f, unit),
        _warm(more.condenser_f if more else None, unit), _as_read(more, unit),
        "" if row.proof is None else f"{row.proof:.1f}", _plain(more.rate_gal_h if more else None),
        more.receiver.code if more and more.receiver else "",
        "" if more is None or more.level_gal is None else f"{_plain(more.level_gal)} gal",
        row.note, row.by,
    )  # fmt: skip


def _as_read(more: Any, unit: str) -> str:
    if more is None or more.hydrometer is None:
        return ""
    return f"{_plain(more.hydrometer)} at {_warm(more.hydrometer_f, unit)}"


def _warm(value: Decimal | None, unit: str) -> str:
    return "" if value is None else units.show(value, "temperature", unit)


def _plain(value: Decimal | None) -> str:
    return "" if value is None else f"{value.normalize():f}"


def _described(proofs: tuple[Point, ...], heads: tuple[Point, ...], story: Story) -> str:
    told = [f"{len(story.readings)} readings."]
    for name, points in (("Proof", proofs), ("Head", heads)):
        if points:
            told.append(f"{name} from {points[0][1]:.1f} to {points[-1][1]:.1f}.")
    cuts = ", ".join(one.fraction for one in story.stretches)
    told += [f"Cuts: {cuts}."] if cuts else []
    return " ".join((*told, "The same figures stand in the table below."))
