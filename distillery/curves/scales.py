"""Round steps for a scale, of figures and of time."""

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from math import floor, log10
from zoneinfo import ZoneInfo

RULES = 4  # about as many rules across a panel
TICKS = 5  # at most so many times under the drawing
HOURS = (0.25, 0.5, 1, 2, 3, 6, 12, 24, 48, 96, 168, 336)
MONTHS = (1, 2, 3, 6, 12, 24, 60, 120)
MONTH = 731  # hours, about
DAY = 24
YEAR = 12  # months


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


def times_between(
    first: datetime, last: datetime, zone: ZoneInfo, *, most: int = TICKS
) -> list[tuple[datetime, str]]:
    """Round times of the plant's clock from *first* to *last* with their words, *most* steps."""
    hours = (last - first).total_seconds() / 3600
    step = next((one for one in HOURS if hours / one <= most), None)
    if step is None:
        return _months_between(first, last, zone, hours / MONTH, most)
    local = first.astimezone(zone)
    at = local.replace(hour=0, minute=0, second=0, microsecond=0)
    found = []
    while at <= last:
        if at >= first:
            found.append(at)
        at = _next(at, step)
    pattern = "%H:%M" if step < DAY else "%-d %b"
    return [(one, _words(found, place, pattern)) for place, one in enumerate(found)]


def _months_between(
    first: datetime, last: datetime, zone: ZoneInfo, months: float, most: int
) -> list[tuple[datetime, str]]:
    """The first days of months, every so many; the year with the first and with each January."""
    step = next((one for one in MONTHS if months / one <= most), MONTHS[-1])
    local = first.astimezone(zone)
    place = local.year * 12 // step * step
    found: list[tuple[datetime, str]] = []
    while (at := datetime(place // 12, place % 12 + 1, 1, tzinfo=zone)) <= last:
        if at >= first:
            has_year = not found or at.month == 1 or step >= YEAR
            found.append((at, f"{at:%b %Y}" if has_year else f"{at:%b}"))
        place += step
    return found


def _next(at: datetime, step: float) -> datetime:
    """A step further by the clock on the wall, so that a day is a day when the clock changes."""
    return at + timedelta(hours=step)


def _words(found: Sequence[datetime], place: int, pattern: str) -> str:
    """The time; with its day at the start and where the day changes."""
    at = found[place]
    is_new_day = place == 0 or found[place - 1].date() != at.date()
    return f"{at:%-d %b %H:%M}" if pattern == "%H:%M" and is_new_day else f"{at:{pattern}}"
