"""What a chart shows, before and after it has its places on the drawing.

A line is told apart by its form, its marks and the words at its end; colour only repeats that.
"""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

Point = tuple[datetime, Decimal]
Spot = tuple[int, int]  # across, down, in units of the drawing


@dataclass(frozen=True, slots=True)
class Line:
    """Figures over time, oldest first. ``form`` is solid, dashed or dotted; ``mark`` is dot,
    square or none; ``places`` are the decimals of the figure written at the end."""

    name: str
    points: tuple[Point, ...]
    form: str = "solid"
    mark: str = "dot"
    places: int = 1
    unit: str = ""

    def told(self, value: Decimal, *, is_brief: bool = False) -> str:
        """The figure with its unit, which is left to the panel's title where it *is_brief*."""
        unit = "" if is_brief else self.unit
        return f"{value:,.{self.places}f}{f' {unit}' if unit else ''}"


@dataclass(frozen=True, slots=True)
class Band:
    """Between two lines: where figures are expected."""

    low: tuple[Point, ...]
    high: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Panel:
    """One scale: its title with the unit, its lines and what is expected."""

    title: str
    lines: tuple[Line, ...]
    band: Band | None = None

    @property
    def places(self) -> int:
        """Decimals of the figures beside the scale, at most."""
        return max(line.places for line in self.lines)


@dataclass(frozen=True, slots=True)
class Event:
    """A moment marked through all panels, like a cut."""

    at: datetime
    words: str


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """A line in its place; ``words`` stand at ``end``, beside its last point."""

    form: str
    mark: str
    spots: tuple[Spot, ...]
    words: str
    end: Spot

    @property
    def points(self) -> str:
        """The spots as SVG takes them."""
        return joined(self.spots)


@dataclass(frozen=True, slots=True)
class DrawnPanel:
    """A panel in its place: rules across with their figures, the outline of the band."""

    title: str
    top: int
    bottom: int
    rules: tuple[tuple[int, str], ...]
    band: tuple[Spot, ...]
    lines: tuple[DrawnLine, ...]

    @property
    def outline(self) -> str:
        """The band's outline as SVG takes it."""
        return joined(self.band)


@dataclass(frozen=True, slots=True)
class DrawnEvent:
    """An event in its place: its words begin right of ``x``, their top is ``y``; its upright line
    runs in ``strokes``, from and to, which leave out the titles it would cross."""

    x: int
    y: int
    words: str
    strokes: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """A drawing of ``width`` by ``height`` units, and what to say for those who cannot see it.

    ``slim`` is the same for a phone, its words as large.
    """

    title: str
    description: str
    panels: tuple[DrawnPanel, ...]
    ticks: tuple[tuple[int, str], ...]
    events: tuple[DrawnEvent, ...]
    left: int
    right: int
    width: int
    height: int
    slim: "Chart | None" = None

    @property
    def top(self) -> int:
        """Where the first panel begins."""
        return self.panels[0].top

    @property
    def bottom(self) -> int:
        """Where the last panel ends."""
        return self.panels[-1].bottom


def joined(spots: tuple[Spot, ...]) -> str:
    """``12,40 18,44``."""
    return " ".join(f"{x},{y}" for x, y in spots)
