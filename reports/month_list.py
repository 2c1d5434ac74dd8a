"""The months there are to file: from the first with entries to the one that runs now."""

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Count

from ledger.models import Period, Premises
from ledger.posting import month_of, next_month

DUE_DAY = 15  # of the month after (27 CFR 19.632(b)); a weekend does not move it


@dataclass(frozen=True, slots=True)
class Month:
    """One month: its first day, state in words, due day of the reports, and entries booked."""

    month: date
    state: str
    due: date
    closed: str
    entries: int


def due_day(month: date) -> date:
    """The day the reports of *month* are due."""
    return next_month(month).replace(day=DUE_DAY)


def months_of(premises: Premises, now: datetime) -> list[Month]:
    """Every month, newest first; those without an entry too, for zero reports are due."""
    rows = Period.objects.filter(premises=premises).annotate(entries_booked=Count("entries"))
    periods = {period.month: period for period in rows}
    if not periods:
        return []
    month, last, found = min(periods), month_of(premises, now), []
    while month <= max(last, max(periods)):
        found.append(_told(month, periods.get(month), premises, last))
        month = next_month(month)
    return found[::-1]


def _told(month: date, period: Period | None, premises: Premises, running: date) -> Month:
    is_closed = period is not None and period.state != Period.State.OPEN
    state = period.get_state_display() if period and is_closed else _open_state(month, running)
    closed = ""
    if period and is_closed and period.closed_at:
        day = period.closed_at.astimezone(premises.zone)
        closed = f"{day.day} {day:%b %Y} by {period.closed_by}"
    entries = period.entries_booked if period else 0  # type: ignore[attr-defined]
    return Month(month, state, due_day(month), closed, entries)


def _open_state(month: date, running: date) -> str:
    return "running" if month == running else "to close"
