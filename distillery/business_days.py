"""Business days: not Saturday, Sunday or a legal holiday (27 CFR 19.1, from memory).

The holidays are those of 5 U.S.C. 6103(a). One on a Sunday is kept on Monday (Executive Order
11582); a Saturday one on the Friday before (5 U.S.C. 6103(b)). Holidays of a State are not known
here, so a due day may be one later than told, never earlier.
"""

from datetime import date, timedelta
from functools import cache

MONDAY, THURSDAY, SATURDAY, SUNDAY = 0, 3, 5, 6
DAY = timedelta(days=1)
# (month, day) of those on a fixed day, and the year each began to be kept.
FIXED = ((1, 1, 0), (6, 19, 2021), (7, 4, 0), (11, 11, 0), (12, 25, 0))
# (month, weekday, which of them); 0 is the last of the month.
MOVING = (
    (1, MONDAY, 3), (2, MONDAY, 3), (5, MONDAY, 0), (9, MONDAY, 1), (10, MONDAY, 2),
    (11, THURSDAY, 4),
)  # fmt: skip


def _nth(year: int, month: int, weekday: int, which: int) -> date:
    if which == 0:
        after = date(year, month, 28) + 4 * DAY
        last = after.replace(day=1) - DAY
        return last - ((last.weekday() - weekday) % 7) * DAY
    first = date(year, month, 1)
    return first + ((weekday - first.weekday()) % 7 + 7 * (which - 1)) * DAY


def _kept_on(day: date) -> date:
    if day.weekday() == SATURDAY:
        return day - DAY
    return day + DAY if day.weekday() == SUNDAY else day


@cache
def holidays(year: int) -> frozenset[date]:
    """The days of *year* kept as federal holidays; New Year's of the next may fall into it."""
    fixed = {date(y, month, day) for month, day, since in FIXED for y in (year, year + 1)
             if y >= since}  # fmt: skip
    moving = {_nth(year, *rule) for rule in MOVING}
    return frozenset(kept for day in fixed | moving if (kept := _kept_on(day)).year == year)


def is_business_day(day: date) -> bool:
    """Whether *day* is a business day."""
    return day.weekday() < SATURDAY and day not in holidays(day.year)


def business_day_after(day: date, number: int) -> date:
    """The *number*-th business day after *day*."""
    while number:
        day += DAY
        number -= is_business_day(day)
    return day


def business_days_between(first: date, last: date) -> int:
    """How many business days come after *first* up to and with *last*; 0 if it is not later."""
    count = 0
    while first < last:
        first += DAY
        count += is_business_day(first)
    return count
