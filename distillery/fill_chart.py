"""The picture of the last checks as places on a drawing: no figure is computed in the page."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from itertools import groupby
from zoneinfo import ZoneInfo

from distillery.fill_picture import Picture
from distillery.fill_tests import band, is_fill_within
from distillery.tested_bottles import mean_ml

WIDTH, HEIGHT = 720, 300
LEFT, RIGHT, TOP, BOTTOM = 98, 118, 20, 40


@dataclass(frozen=True, slots=True)
class Mark:
    """One bottle; ``is_out`` is drawn as another shape."""

    x: int
    y: int
    is_out: bool


@dataclass(frozen=True, slots=True)
class Rule:
    """A line across with its figure."""

    y: int
    text: str
    kind: str


@dataclass(frozen=True, slots=True)
class Tick:
    """A time under the drawing."""

    x: int
    text: str


@dataclass(frozen=True, slots=True)
class Chart:
    """A drawing of 720 by 300 units."""

    rules: tuple[Rule, ...]
    marks: tuple[Mark, ...]
    means: str
    last: tuple[int, int, str]
    ticks: tuple[Tick, ...]
    title: str
    description: str
    left: int = LEFT
    right: int = WIDTH - RIGHT
    top: int = TOP
    bottom: int = HEIGHT - BOTTOM
    width: int = WIDTH
    height: int = HEIGHT

    @property
    def band_height(self) -> int:
        """From the high rule down to the low one."""
        return self.rules[2].y - self.rules[0].y

    @property
    def inner_width(self) -> int:
        """Of the ruled part."""
        return self.right - self.left


def charted(picture: Picture, zone: ZoneInfo) -> Chart | None:
    """The drawing of *picture*, times in *zone*; None without a fill."""
    if not picture.points:
        return None
    size = picture.bottle_ml
    least, most = band(size)
    across = _Across(picture.points[0][0], picture.points[-1][0])
    down = _Down(min(least, *picture.fills), max(most, *picture.fills))
    rules = tuple(
        Rule(down.at(value), f"{_plain(value)} mL", kind)
        for value, kind in ((most, "edge"), (Decimal(size), "full"), (least, "edge"))
    )
    marks = tuple(
        Mark(across.at(at), down.at(fill), not is_fill_within(fill, size))
        for at, fill in picture.points
    )
    by_check = [
        (at, mean_ml([fill for _, fill in rows]))
        for at, rows in groupby(picture.points, lambda point: point[0])
    ]
    line = [(across.at(at), down.at(mean)) for at, mean in by_check]
    out = sum(mark.is_out for mark in marks)
    description = (
        f"{len(marks)} fills in {len(by_check)} checks, {out} outside the band of {_plain(least)} "
        f"to {_plain(most)} mL. Means run from {by_check[0][1]} to {by_check[-1][1]} mL. The same "
        "figures stand in the table below."
    )
    return Chart(
        rules, marks, " ".join(f"{x},{y}" for x, y in line),
        (*line[-1], f"{by_check[-1][1]}"), _ticks(by_check, across, zone),
        f"Fill of bottles of {size} mL at 60 °F, last checks", description,
    )  # fmt: skip


def _plain(value: Decimal) -> str:
    return f"{value.normalize():f}"


@dataclass(frozen=True, slots=True)
class _Across:
    first: datetime
    last: datetime

    def at(self, moment: datetime) -> int:
        span = (self.last - self.first).total_seconds()
        part = (moment - self.first).total_seconds() / span if span else 0.5
        inset = 14
        return round(LEFT + inset + part * (WIDTH - LEFT - RIGHT - 2 * inset))


@dataclass(frozen=True, slots=True)
class _Down:
    least: Decimal
    most: Decimal

    def at(self, value: Decimal) -> int:
        room = (self.most - self.least) / 10
        part = (self.most + room - value) / (self.most - self.least + 2 * room)
        return round(TOP + part * (HEIGHT - TOP - BOTTOM))


def _ticks(
    by_check: list[tuple[datetime, Decimal]], across: _Across, zone: ZoneInfo
) -> tuple[Tick, ...]:
    """The first and the last time; the day with them where they differ."""
    ends = [by_check[0][0], by_check[-1][0]] if len(by_check) > 1 else [by_check[0][0]]
    local = [at.astimezone(zone) for at in ends]
    same = local[0].date() == local[-1].date()
    pattern = "%H:%M" if same else "%-d %b %H:%M"
    return tuple(
        Tick(across.at(at), f"{then:{pattern}}") for at, then in zip(ends, local, strict=True)
    )
