"""Gives every line, mark and word of a chart its place: no figure is computed in a page."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from distillery.curves.chart import Chart, DrawnLine, DrawnPanel, Event, Line, Panel
from distillery.curves.scales import marks_between, rounded_out, step_for, times_between

WIDTH, LEFT, RIGHT = 784, 78, 184
PANEL, BETWEEN, BELOW, ABOVE = 190, 46, 36, 34
WORDS_APART = 19  # between words at the ends of two lines
ENDS = WIDTH - RIGHT - 40
LIFT = 15  # of words beside a line that ends before the others do
EVENT_ROW, EVENT_ROWS, EVENT_WIDTH = 17, 3, 96


@dataclass(frozen=True, slots=True)
class _Across:
    first: datetime
    last: datetime

    def at(self, moment: datetime) -> int:
        span = (self.last - self.first).total_seconds()
        part = (moment - self.first).total_seconds() / span
        return round(LEFT + part * (WIDTH - LEFT - RIGHT))


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
    across = _Across(first, last if last > first else first + timedelta(hours=1))
    above = ABOVE + EVENT_ROW * EVENT_ROWS * bool(events)
    drawn = [
        _panel(panel, across, above + place * (PANEL + BETWEEN))
        for place, panel in enumerate(panels)
    ]
    ticks = [(across.at(at), words) for at, words in times_between(across.first, across.last, zone)]
    return Chart(
        title, description, tuple(drawn), tuple(ticks), _events(events, across, above), LEFT,
        WIDTH - RIGHT, WIDTH, drawn[-1].bottom + BELOW,
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
    return DrawnPanel(
        panel.title, top, top + PANEL, tuple(rules), outline, _apart(lines)
    )  # fmt: skip


def _line(line: Line, across: _Across, down: _Down) -> DrawnLine:
    spots = tuple((across.at(at), down.at(value)) for at, value in line.points)
    words = " ".join(word for word in (line.name, line.told(line.points[-1][1])) if word)
    x, y = spots[-1]
    return DrawnLine(line.form, line.mark, spots, words, (x, y if x > ENDS else y - LIFT))


def _apart(lines: Sequence[DrawnLine]) -> tuple[DrawnLine, ...]:
    """The words at the ends moved down until none lies on another."""
    placed: dict[int, int] = {}
    above: int | None = None
    for place, line in sorted(enumerate(lines), key=lambda one: one[1].end[1]):
        y = line.end[1] if above is None else max(line.end[1], above + WORDS_APART)
        placed[place] = above = y
    return tuple(
        DrawnLine(line.form, line.mark, line.spots, line.words, (line.end[0], placed[place]))
        for place, line in enumerate(lines)
    )


def _events(
    events: Sequence[Event], across: _Across, above: int
) -> tuple[tuple[int, int, str], ...]:
    """(across, down, words); words that would touch go a row lower, three rows round."""
    ends = [-WIDTH] * EVENT_ROWS
    found = []
    for event in sorted(events, key=lambda one: one.at):
        x = across.at(event.at)
        row = next((n for n, end in enumerate(ends) if x >= end), 0)
        ends[row] = x + max(EVENT_WIDTH, len(event.words) * 8)
        found.append((x, above - 24 - EVENT_ROW * (EVENT_ROWS - 1 - row), event.words))
    return tuple(found)
