"""A bridge as a picture: bars that hang from one another, laid out once for screen and paper.

Lengths are in the picture's own units. Words stand beside every bar, rises and falls differ in
form (filled, hollow, hatched), so that no color is needed.
"""

from dataclasses import dataclass

from ledger.quantities import to_decimal
from reports.bridge import Bridge

WIDTH, ROW, LABELS, FIGURES, BAR = 720, 26, 230, 90, 16
PLOT = WIDTH - LABELS - FIGURES
TOTAL, RISE, FALL, LOSS = "total", "rise", "fall", "loss"


@dataclass(frozen=True, slots=True)
class Bar:
    """One row: its words, figure, kind, and where the bar lies."""

    title: str
    figure: str
    kind: str
    x: float
    y: float
    width: float

    @property
    def text_y(self) -> float:
        """The base line of the row's words."""
        return self.y + BAR - 4

    @property
    def figure_x(self) -> float:
        """The right edge of the row's figure."""
        return WIDTH - 4


@dataclass(frozen=True, slots=True)
class Waterfall:
    """The picture of one bridge."""

    title: str
    description: str
    bars: tuple[Bar, ...]
    height: float
    zero: float
    width: int = WIDTH
    bar_height: int = BAR


def _told(hundredths: int, *, signed: bool) -> str:
    sign = "+" if signed and hundredths > 0 else ""
    return sign + f"{to_decimal(hundredths):,f}".replace("-", "−")


def waterfall(bridge: Bridge) -> Waterfall:
    """*bridge* laid out from its opening through its steps to its closing."""
    levels, level = [(0, bridge.opening)], bridge.opening
    for step in bridge.steps:
        levels.append((level, level + step.value))
        level += step.value
    levels.append((0, bridge.closing))
    low = min(0, *(min(pair) for pair in levels))
    scale = PLOT / ((max(max(pair) for pair in levels) - low) or 1)
    kinds = [TOTAL, *(_kind(step.value, step.is_loss) for step in bridge.steps), TOTAL]
    titles = ["Opening", *(step.title for step in bridge.steps), "Closing"]
    values = [bridge.opening, *(step.value for step in bridge.steps), bridge.closing]
    bars = tuple(
        Bar(
            title, _told(value, signed=kind != TOTAL), kind,
            round(LABELS + (min(pair) - low) * scale, 1), float(place * ROW + 4),
            round(max(1.0, (max(pair) - min(pair)) * scale), 1),
        )
        for place, (title, value, kind, pair) in enumerate(
            zip(titles, values, kinds, levels, strict=True)
        )
    )  # fmt: skip
    told = f"{bridge.title.capitalize()}: " + "; ".join(f"{b.title} {b.figure}" for b in bars)
    zero = round(LABELS - low * scale, 1)
    return Waterfall(
        f"{bridge.title.capitalize()}, from opening to closing, proof gallons",
        told, bars, float(len(bars) * ROW + 4), zero,
    )  # fmt: skip


def _kind(value: int, is_loss: bool) -> str:
    if is_loss:
        return LOSS
    return RISE if value > 0 else FALL
