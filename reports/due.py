"""What is due and what it waits for: reports, returns, inventories, notices, tests, State excise.

Sources: 27 CFR 19.632(b) (reports by the 15th, a weekend does not move it), 19.234-19.237
(returns), 19.312, 19.333, 19.371 (tanks at each quarter's end), 19.372 (bottled goods twice a
year, told five business days ahead), 19.186 and 19.188 (instruments); a State's day is that of
its kept rate.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.urls import reverse

from distillery.counts import BOTTLED, QUARTER, last_count
from distillery.instruments import next_test
from distillery.models import Instrument
from distillery.notices import inventory_notice
from ledger.models import Period, Premises
from ledger.posting import month_of, next_month
from reports.models import Filed
from reports.month_list import due_day
from reports.return_filing import years_for
from reports.return_periods import is_closed
from reports.state_due import states_due

AHEAD = timedelta(days=100)
NOTICE_DAYS = 5  # business days, 27 CFR 19.372
DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Due:
    """One thing: its day, what it is, what it waits for, and where it is done."""

    day: date
    what: str
    waits_for: str
    address: str
    key: str

    def is_overdue(self, today: date) -> bool:
        """Whether its day has passed."""
        return self.day < today


def due_list(premises: Premises, now: datetime) -> list[Due]:
    """Everything that is not done, oldest first, up to some three months ahead."""
    today = now.astimezone(premises.zone).date()
    found = [
        *_reports(premises, now), *_returns(premises, today), *_inventories(premises, today),
        *_instruments(premises, today), *_states(premises, today),
    ]  # fmt: skip
    near = (one for one in found if one.day <= today + AHEAD)
    return sorted(near, key=lambda one: (one.day, one.what))


def _months(periods: Iterable[date], running: date) -> Iterator[date]:
    month = min(periods, default=None)
    while month is not None and month <= running:
        yield month
        month = next_month(month)


def _reports(premises: Premises, now: datetime) -> Iterator[Due]:
    periods = {one.month: one for one in Period.objects.filter(premises=premises)}
    running = month_of(premises, now)
    for month in _months(periods, running):
        period = periods.get(month)
        if period is not None and period.state == Period.State.FILED:
            continue
        is_open = period is None or period.state == Period.State.OPEN
        waits = f"{month:%B} ends" if month == running else "closing the month"
        yield Due(
            due_day(month), f"Reports of {month:%B %Y}",
            waits if is_open else "filing", reverse("reports:month", args=[month]),
            f"reports-{month:%Y-%m}",
        )  # fmt: skip


def _returns(premises: Premises, today: date) -> Iterator[Due]:
    years = years_for(premises, today)
    filed = set(
        Filed.objects.filter(premises=premises, form="return").values_list("begin", flat=True)
    )
    for period in years.returns(today):
        if period.begin in filed:
            continue
        waits = "filing and paying" if today > period.end else f"its end, {_told(period.end)}"
        yield Due(
            period.due, f"Tax return {period.serial}", waits,
            reverse("reports:return", args=[period.begin]), f"return-{period.serial}",
        )  # fmt: skip


def _states(premises: Premises, today: date) -> Iterator[Due]:
    for one in states_due(premises, today):
        period = one.period
        waits = "filing" if today > period.end else f"its end, {_told(period.end)}"
        yield Due(
            one.day, f"State excise, {one.name}, {period.words}", waits,
            reverse("reports:state-period", args=[period]), f"state-{one.state}-{period.code}",
        )  # fmt: skip


def _told(day: date) -> str:
    return f"{day.day} {day:%b}"


def _quarter_ends(today: date) -> Iterator[date]:
    """The end of the last quarter and of the one that runs."""
    first = date(today.year, 3 * ((today.month - 1) // 3) + 1, 1)
    yield first - DAY
    yield next_month(next_month(next_month(first))) - DAY


def _inventories(premises: Premises, today: date) -> Iterator[Due]:
    first = Period.objects.filter(premises=premises).order_by("month").first()
    for day in _quarter_ends(today):
        if first is None or day < first.month:
            continue
        yield from _inventory(premises, day, QUARTER, "Inventory of tanks")
        if day.month in (6, 12):
            yield from _inventory(premises, day, BOTTLED, "Inventory of bottled goods")
            yield from _notice(premises, day)


def _inventory(premises: Premises, day: date, kind: str, title: str) -> Iterator[Due]:
    counted = last_count(premises, day + timedelta(days=14), kind)
    if counted and abs((counted.happened_at.astimezone(premises.zone).date() - day).days) <= 31:
        return
    yield Due(
        day, f"{title} for {_told(day)}", "counting", reverse("counts"), f"count-{kind}-{day}"
    )


def _notice(premises: Premises, day: date) -> Iterator[Due]:
    if inventory_notice(premises, day):
        return
    by, left = day, NOTICE_DAYS
    while left:
        by -= DAY
        left -= not is_closed(by)
    yield Due(
        by, f"Notice of the bottled inventory for {_told(day)}", "telling TTB",
        reverse("record-operation", args=["notice"]), f"notice-{day}",
    )  # fmt: skip


def _instruments(premises: Premises, today: date) -> Iterator[Due]:
    for one in Instrument.objects.filter(premises=premises, is_retired=False):
        day = next_test(one) or today
        waits = "its test" if one.last_tested else "its first test"
        yield Due(day, f"Test of {one.code}", waits, reverse("floor"), f"instrument-{one.code}")
