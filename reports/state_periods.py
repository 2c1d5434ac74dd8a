"""The month or quarter of a worksheet of State excise, as it stands in an address."""

import re
from dataclasses import dataclass
from datetime import date, timedelta

from ledger.errors import BadFact
from ledger.posting import next_month
from reports.month_book import read_month

MONTH, QUARTER = "month", "quarter"
_QUARTER = re.compile(r"([0-9]{4})-Q([1-4])\Z")


@dataclass(frozen=True, slots=True)
class StatePeriod:
    """One month, or the three of a calendar quarter, by its first day."""

    begin: date
    every: str

    @property
    def end(self) -> date:
        """The last day."""
        following = self.begin
        for _ in range(1 if self.every == MONTH else 3):
            following = next_month(following)
        return following - timedelta(days=1)

    @property
    def code(self) -> str:
        """As it is written: ``2026-03`` or ``2026-Q1``."""
        if self.every == MONTH:
            return f"{self.begin:%Y-%m}"
        return f"{self.begin.year}-Q{(self.begin.month + 2) // 3}"

    @property
    def words(self) -> str:
        """As it is told."""
        if self.every == MONTH:
            return f"{self.begin:%B %Y}"
        return f"quarter {(self.begin.month + 2) // 3} of {self.begin.year}"

    def due(self, filing_day: int) -> date:
        """That day of the month after it ends."""
        return (self.end + timedelta(days=1)).replace(day=filing_day)


def read_period(text: str) -> StatePeriod:
    """The month or quarter written in *text*. Raises BadFact otherwise."""
    found = _QUARTER.match(text)
    if found is None:
        return StatePeriod(read_month(text), MONTH)
    year, number = int(found[1]), int(found[2])
    if not year:
        raise BadFact(f"“{text}” is not a quarter. Write it like 2026-Q1.")
    return StatePeriod(date(year, 3 * number - 2, 1), QUARTER)


def period_of(day: date, every: str = MONTH) -> StatePeriod:
    """The month or quarter that holds *day*."""
    month = day.month if every == MONTH else 3 * ((day.month - 1) // 3) + 1
    return StatePeriod(date(day.year, month, 1), every)


class StatePeriodConverter:
    """A month or quarter in a path, like 2026-03 or 2026-Q1."""

    regex = "[0-9]{4}-(?:[0-9]{2}|Q[1-4])"

    def to_python(self, value: str) -> StatePeriod:
        """The period; a ValueError makes the address match nothing."""
        try:
            return read_period(value)
        except BadFact as error:
            raise ValueError(str(error)) from error

    def to_url(self, value: StatePeriod | str) -> str:
        """A period or its code, as the path has it."""
        return value if isinstance(value, str) else value.code
