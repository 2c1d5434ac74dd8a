"""Periods of the tax return TTB F 5000.24 and the days by which they are due.

Sources: 27 CFR 19.235 (annual, quarterly, semi-monthly and who may use them), 19.236 (due on
the 14th day after the period, moved back from weekends and legal holidays), 19.237 (September).
"""

from calendar import monthrange
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache
from itertools import count

import holidays

ANNUAL, QUARTERLY, SEMIMONTHLY = "annual", "quarterly", "semimonthly"
FREQUENCIES = (ANNUAL, QUARTERLY, SEMIMONTHLY)
# The most tax, this year expected and last year actual, with which each may be used (19.235).
CEILINGS = {ANNUAL: Decimal(1_000), QUARTERLY: Decimal(50_000), SEMIMONTHLY: None}
DAYS = timedelta(days=14)
DAY = timedelta(days=1)
SATURDAY, SUNDAY = 5, 6


@dataclass(frozen=True, slots=True)
class ReturnPeriod:
    """One return: its number in the year, first and last day, and the day it is due."""

    number: int
    begin: date
    end: date
    due: date

    @property
    def serial(self) -> str:
        """The serial number as TTB writes it since 2025: ``TR-2025-1``."""
        return f"TR-{self.begin.year}-{self.number}"

    def holds(self, day: date) -> bool:
        """Whether *day* falls in the period."""
        return self.begin <= day <= self.end


@cache
def federal_holidays(year: int) -> frozenset[date]:
    """The legal holidays of the United States in *year*, as observed."""
    return frozenset(holidays.country_holidays("US", years=year))


def is_closed(day: date, *, more: Collection[date] = ()) -> bool:
    """Whether *day* is a Saturday, Sunday or legal holiday; *more* are holidays of a State.

    A State's own holidays count for those who need not pay by electronic transfer.
    """
    return day.weekday() >= SATURDAY or day in federal_holidays(day.year) or day in more


def moved_back(day: date, *, more: Collection[date] = ()) -> date:
    """The last day not after *day* that is no weekend and no holiday (27 CFR 19.236)."""
    while is_closed(day, more=more):
        day -= DAY
    return day


def moved_in_september(day: date, *, more: Collection[date] = ()) -> date:
    """The due day of September's middle return: a Sunday moves on, all else back (19.237)."""
    if day.weekday() != SUNDAY:
        return moved_back(day, more=more)
    while is_closed(day, more=more):
        day += DAY
    return day


def _september(year: int, *, eft: bool) -> list[tuple[date, date, date, bool]]:
    """The second half of September as (begin, end, day before moving, middle)."""
    last, due = (26, 29) if eft else (25, 28)
    rest = date(year, 9, 30)
    return [
        (date(year, 9, 16), date(year, 9, last), date(year, 9, due), True),
        (date(year, 9, last + 1), rest, rest + DAYS, False),
    ]


def _halves(year: int, *, eft: bool) -> list[tuple[date, date, date, bool]]:
    found = []
    for month in range(1, 13):
        half, end = date(year, month, 15), date(year, month, monthrange(year, month)[1])
        found.append((date(year, month, 1), half, half + DAYS, False))
        if month == 9:
            found += _september(year, eft=eft)
        else:
            found.append((half + DAY, end, end + DAYS, False))
    return found


def _spans(frequency: str, year: int, *, eft: bool) -> list[tuple[date, date, date, bool]]:
    if frequency == SEMIMONTHLY:
        return _halves(year, eft=eft)
    months = 12 if frequency == ANNUAL else 3
    found = []
    for first in range(1, 13, months):
        last = first + months - 1
        end = date(year, last, monthrange(year, last)[1])
        found.append((date(year, first, 1), end, end + DAYS, False))
    return found


def return_periods(
    frequency: str, year: int, *, eft: bool = False, more: Collection[date] = ()
) -> tuple[ReturnPeriod, ...]:
    """The returns of *year*: one, four, or twenty-five. *eft* tells who must pay by transfer.

    Raises ValueError for an unknown frequency.
    """
    if frequency not in FREQUENCIES:
        raise ValueError(f"There is no return period “{frequency}”.")
    number = count(1)
    return tuple(
        ReturnPeriod(
            next(number), begin, end,
            moved_in_september(day, more=more) if middle else moved_back(day, more=more),
        )
        for begin, end, day, middle in _spans(frequency, year, eft=eft)
    )  # fmt: skip


def period_of(frequency: str, day: date, *, eft: bool = False) -> ReturnPeriod:
    """The return that *day* belongs to."""
    periods = return_periods(frequency, day.year, eft=eft)
    return next(period for period in periods if period.holds(day))


def safe_harbor(tax_to_15th: Decimal, *, eft: bool) -> Decimal:
    """The least to pay by September's middle date for the days after the 15th (19.237(d)).

    11/15 of the tax of 1 to 15 September for who must pay by transfer, 2/3 for others.
    """
    part = Fraction(11, 15) if eft else Fraction(2, 3)
    exact = Decimal(part.numerator) * tax_to_15th / Decimal(part.denominator)
    return exact.quantize(Decimal("0.01"), ROUND_HALF_UP)


def longest_allowed(*, last_year: Decimal, expected: Decimal) -> str:
    """The longest period a plant may use by its tax of last year and what it expects (19.235).

    A new plant gives zero for last year. The sums are over all locations of one taxpayer.
    """
    for frequency in (ANNUAL, QUARTERLY):
        ceiling = CEILINGS[frequency]
        if ceiling is not None and max(last_year, expected) <= ceiling:
            return frequency
    return SEMIMONTHLY
