"""Gives every line, mark and word of a chart its place: no figure is computed in a page."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from distillery.curves import words
from distillery.curves.chart import Chart, DrawnLine, DrawnPanel, Event, Line, Panel
from distillery.curves.scales import marks_between, rounded_out, step_for, times_between

PANEL, BETWEEN, BELOW = 190, 46, 36
NEAR = 40  # a line that ends so close to the margin has its words there


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a chart is drawn on: its width, the margins, how many times stand under it at most."""

    width: int
    left: int
    right: int
    ticks: int
    is_brief: bool = False  # units are in the titles alone

    @property
    def end(self) -> int:
        """Where the panels end."""
        return self.width - self.right


WIDE = Sheet(784, 78, 184, ticks=5)
SLIM = Sheet(400, 50, 164, ticks=2, is_brief=True)


@dataclass(frozen=True, slots=True)
class _Across:
    first: datetime
    last: datetime
    sheet: Sheet

    def at(self, moment: datetime) -> int:
        span = (self.last - self.first).total_seconds()
        part = (moment - self.first).total_seconds() / span
        return round(self.sheet.left + part * (self.sheet.end - self.sheet.left))


@dataclass(frozen=True, slots=True)
class _Down:
    low: Decimal
    high: Decimal
    top: int
    bottom: int

    def at(self, value: Decimal) -> int:
        part = (self.high - value) / (self.high - self.low)
        return round(self.top + float(part) * (self.bottom - self.top))


def laid_out(
    title: str,
    description: str,
    panels: Sequence[Panel],
    *,
    zone: ZoneInfo,
    events: Sequence[Event] = (),
) -> Chart | None:
    """The chart of *panels*, one above the other over one time; None without a single figure."""
    panels = [panel for panel in panels if any(line.points for line in panel.lines)]
    moments = [at for panel in panels for line in panel.lines for at, _ in line.points]
    if not moments:
        return None
    moments += [event.at for event in events]
    first, last = min(moments), max(moments)
    last = last if last > first else first + timedelta(hours=1)
    told = (title, description)
    wide, slim = (
        _drawn(told, panels, _Across(first, last, sheet), zone, events) for sheet in (WIDE, SLIM)
    )
    return replace(wide, slim=slim)


def _drawn(
    told: tuple[str, str],
    panels: Sequence[Panel],
    across: _Across,
    zone: ZoneInfo,
    events: Sequence[Event],
) -> Chart:
    """The chart on one sheet."""
    sheet = across.sheet
    places = [(across.at(one.at), one.words) for one in events]
    rows = words.rows_of(places, sheet.width)
    above = words.room_above(rows)
    drawn = [
        words.beside_ends(
            _panel(panel, across, above + place * (PANEL + BETWEEN)), places,
            ends=sheet.end - NEAR, width=sheet.width,
        )
        for place, panel in enumerate(panels)
    ]  # fmt: skip
    times = times_between(across.first, across.last, zone, most=sheet.ticks)
    return Chart(
        *told, tuple(drawn), tuple((across.at(at), word) for at, word in times),
        words.in_place(rows, drawn, sheet.left), sheet.left, sheet.end, sheet.width,
        drawn[-1].bottom + BELOW,
    )  # fmt: skip


def _panel(panel: Panel, across: _Across, top: int) -> DrawnPanel:
    values = [value for line in panel.lines for _, value in line.points]
    band = panel.band
    if band:  # a little room beyond it, so that it is seen as a band
        ends = [value for _, value in (*band.low, *band.high)]
        room = (max(ends) - min(ends)) / 20
        values += [min(ends) - room, max(ends) + room]
    step = step_for(min(values), max(values))
    low, high = rounded_out(min(values), max(values), step)
    down = _Down(low, high, top, top + PANEL)
    places = max(0, -int(step.normalize().as_tuple().exponent))
    rules = [(down.at(mark), f"{mark:,.{places}f}") for mark in marks_between(low, high, step)]
    lines = [_line(line, across, down) for line in panel.lines if line.points]
    edge = (*band.low, *band.high[::-1]) if band else ()
    outline = tuple((across.at(at), down.at(value)) for at, value in edge)
    return DrawnPanel(panel.title, top, top + PANEL, tuple(rules), outline, tuple(lines))


def _line(line: Line, across: _Across, down: _Down) -> DrawnLine:
    spots = tuple((across.at(at), down.at(value)) for at, value in line.points)
    figure = line.told(line.points[-1][1], is_brief=across.sheet.is_brief)
    told = f"{line.name} {figure}".strip()
    return DrawnLine(line.form, line.mark, spots, told, spots[-1])
