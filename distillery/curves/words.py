"""Places for the words of a chart: no two lie on each other, none leaves the drawing, no upright
line runs through one.

Sizes are those of ``curves.css``; the print sets them smaller.
"""

from collections.abc import Sequence
from dataclasses import replace

from distillery.curves.chart import DrawnEvent, DrawnLine, DrawnPanel
from distillery.drawn_words import cut, width_of

SIZE, SMALLER = 15, 14  # of titles and of the words at the ends of lines; of events
TITLE = 24  # of a panel's title, above it
ROW = 17  # of events, one below the other
TOP = 4  # above the first row
AWAY = 10  # of words from the end of their line
APART = 19  # between the words at the ends of two lines
LIFT = 15  # of words beside a line that ends before the others do
EDGE = 2

Place = tuple[int, str]  # how far across an event lies, and its words


def _wide(words: str, size: int = SIZE) -> float:
    """How far they run, and a little to spare for letters wider than those measured."""
    return width_of(words, size, bold=True) + 2 * EDGE


def rows_of(events: Sequence[Place], width: int) -> list[tuple[int, int, str]]:
    """(across, row, words) of each event: the highest row where its words touch no others and its
    line, on the way down, runs through none of the rows below; a row more where there is none."""
    ends: list[float] = []
    found = []
    for x, told in sorted(events, key=lambda one: one[0]):
        words = cut(told, width - x - AWAY, SMALLER, bold=True)
        crossed = max((row for row, end in enumerate(ends) if end > x), default=-1)
        row = crossed + 1
        ends[row:] = [x + AWAY + _wide(words, SMALLER)]
        found.append((x, row, words))
    return found


def room_above(rows: Sequence[tuple[int, int, str]]) -> int:
    """How far down the first panel begins, below its title and the rows of events."""
    count = max((row for _, row, _ in rows), default=-1) + 1
    return TOP + ROW * count + TITLE + (ROW // 2)


def in_place(
    rows: Sequence[tuple[int, int, str]], panels: Sequence[DrawnPanel], left: int
) -> tuple[DrawnEvent, ...]:
    """The events with their upright lines."""
    return tuple(
        DrawnEvent(x, TOP + ROW * row, words, tuple(_strokes(x, TOP + ROW * row, panels, left)))
        for x, row, words in rows
    )


def _strokes(x: int, top: int, panels: Sequence[DrawnPanel], left: int) -> list[tuple[int, int]]:
    """From *top* through every panel, broken where a title stands in the way."""
    found = [(top, top)]
    for panel in panels:
        ends = left + _wide(panel.title)
        if x > ends:
            found[-1] = (found[-1][0], panel.bottom)
        else:
            found[-1] = (found[-1][0], max(found[-1][1], panel.top - TITLE))
            found.append((panel.top, panel.bottom))
    return found


def beside_ends(panel: DrawnPanel, events: Sequence[Place], *, ends: int, width: int) -> DrawnPanel:
    """*panel* with the words at the ends of its lines in place; *ends* is how far across a line
    goes that has the margin beside it for its words."""
    lines, crossed = panel.lines, sorted(x for x, _ in events)
    order = sorted(range(len(lines)), key=lambda one: lines[one].end[1])
    downs = _apart([_wanted(lines[one], ends, panel.top) for one in order], panel)
    placed = dict(zip(order, downs, strict=True))
    found = (
        replace(line, end=(_across(line, crossed, width), placed[one]))
        for one, line in enumerate(lines)
    )
    return replace(panel, lines=tuple(found))


def _wanted(line: DrawnLine, ends: int, top: int) -> int:
    """Beside the last figure; above one that ends early, or below it at the panel's edge."""
    x, y = line.end
    if x > ends:
        return y
    return y - LIFT if y - LIFT > top else y + LIFT


def _across(line: DrawnLine, crossed: Sequence[int], width: int) -> int:
    """Right of the last figure and of the events just after it, and inside the drawing."""
    x, long = line.end[0], _wide(line.words)
    for event in crossed:
        if x < event < x + AWAY + long:
            x = event
    return max(0, min(x, int(width - AWAY - EDGE - long)))


def _apart(wanted: Sequence[int], panel: DrawnPanel) -> list[int]:
    """*wanted*, moved no more than it takes: first down, then back up from the bottom."""
    downs = [max(y, panel.top + EDGE) for y in wanted]
    for one in range(1, len(downs)):
        downs[one] = max(downs[one], downs[one - 1] + APART)
    most = panel.bottom - EDGE
    for one in reversed(range(len(downs))):
        downs[one] = min(downs[one], most)
        most = downs[one] - APART
    return downs
