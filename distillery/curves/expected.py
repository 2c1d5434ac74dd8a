"""The path a ferment of grain is expected to take, and the band outside which to look.

Ends of the band: most grain washes are done in 36 to 96 hours at 0.995 to 1.012, 1.000 often
(common practice, no source). Its shape, a fall that slows, is our own figure, as is the lag.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from math import exp, log

WARMTH_F = (Decimal(70), Decimal(90))  # our own figure; the yeast's own sheet decides
DONE = 0.95  # of the fall, by the time a ferment is called done; our own figure
STEPS = 48
PLACE = Decimal("0.0001")


@dataclass(frozen=True, slots=True)
class Path:
    """A fall of gravity: the hours until it is done, its end, the hours before it begins."""

    hours: float
    end: Decimal
    lag: float = 0

    def at(self, start: Decimal, hours: float) -> Decimal:
        """The gravity *hours* after it was *start*, to four places."""
        if start <= self.end:
            return start
        gone = max(0.0, hours - self.lag) / (self.hours - self.lag)
        left = exp(log(1 - DONE) * gone)
        return (self.end + (start - self.end) * Decimal(repr(left))).quantize(PLACE)


EXPECTED = Path(72, Decimal("1.000"))
FASTEST = Path(36, Decimal("0.995"))
SLOWEST = Path(96, Decimal("1.012"), lag=12)


def hours_between(first: datetime, last: datetime) -> float:
    """Hours from *first* to *last*."""
    return (last - first).total_seconds() / 3600


def drawn(path: Path, start: Decimal, first: datetime, last: datetime) -> tuple:
    """*path* from *first* to *last* as points of a line."""
    span = last - first
    moments = [first + span * step / STEPS for step in range(STEPS + 1)]
    return tuple((at, path.at(start, hours_between(first, at))) for at in moments)


def until(first: datetime, last: datetime) -> datetime:
    """How far the expected path is drawn: a day past the last reading, three days at least."""
    return max(last + timedelta(hours=12), first + timedelta(hours=72))
