"""Round steps for a scale, of figures and of time."""

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from math import floor, log10
from zoneinfo import ZoneInfo

RULES = 4  # about as many rules across a panel
TICKS = 5  # at most so many times under the drawing
HOURS = (0.25, 0.5, 1, 2, 3, 6, 12, 24, 48, 96, 168, 336, 720, 1440, 2160, 4320, 8760, 17520)
DAY = 24


def step_for(least: Decimal, most: Decimal) -> Decimal:
    """A step of 1, 2 or 5 times a power of ten that cuts the span into about RULES parts."""
    span = float(most - least) or 1
    power = Decimal(10) ** floor(log10(span / RULES))
    return next(
        (power * size for size in (1, 2, 5) if span / float(power * size) <= RULES), power * 10
    )


def rounded_out(least: Decimal, most: Decimal, step: Decimal) -> tuple[Decimal, Decimal]:
    """The span widened to whole steps, at least one."""
    low = (least / step).to_integral_value(ROUND_FLOOR) * step
    high = (most / step).to_integral_value(ROUND_CEILING) * step
    return low, high if high > low else low + step


def marks_between(low: Decimal, high: Decimal, step: Decimal) -> Iterator[Decimal]:
    """Every whole step from *low* to *high*."""
    value = low
    while value <= high:
        yield value
        value += step


def times_between(first: datetime, last: datetime, zone: ZoneInfo) -> list[tuple[datetime, str]]:
    """Round times of the plant's clock from *first* to *last* with their words."""
    hours = (last - first).total_seconds() / 3600
    step = next((one for one in HOURS if hours / one <= TICKS), HOURS[-1])
    local = first.astimezone(zone)
    at = local.replace(hour=0, minute=0, second=0, microsecond=0)
    found = []
    while at <= last:
        if at >= first:
            found.append(at)
        at = _next(at, step)
    pattern = "%H:%M" if step < DAY else "%-d %b" if hours < 8760 else "%b %Y"
    return [(one, _words(found, place, pattern)) for place, one in enumerate(found)]


def _next(at: datetime, step: float) -> datetime:
    """A step further by the clock on the wall, so that a day is a day when the clock changes."""
    return at + timedelta(hours=step)


def _words(found: Sequence[datetime], place: int, pattern: str) -> str:
    """The time; with its day at the start and where the day changes."""
    at = found[place]
    is_new_day = place == 0 or found[place - 1].date() != at.date()
    return f"{at:%-d %b %H:%M}" if pattern == "%H:%M" and is_new_day else f"{at:{pattern}}"
