"""How late an entry was recorded, as a word and never as a refusal (27 CFR 19.580).

By the close of the next business day after the operation; by the third where a complete record
was made when it happened; a determination of tax on the same day.
"""

from collections.abc import Iterable
from datetime import date

from distillery.business_days import business_day_after
from ledger.models import Entry

NEXT, THIRD = 1, 3
# Acts whose record is not of the day they count for.
NOT_TIMED = frozenset({"reverse", "correct", "opening-balance"})


def late_words(entry: Entry, accounts: Iterable[str] | None = None) -> str:
    """``recorded 2 Feb, due 28 Jan (19.580(a))`` or ""; *accounts* are those it moved to."""
    happened, recorded = days_of(entry)
    if recorded <= happened or entry.operation in NOT_TIMED or '"instead_of"' in entry.form:
        return ""
    if accounts is None:
        accounts = entry.movements.values_list("to_account", flat=True)
    if "tax_determined" in accounts:
        return f"tax recorded {_told(recorded)}, due the same day (27 CFR 19.580(b))"
    due, third = (business_day_after(happened, number) for number in (NEXT, THIRD))
    if recorded <= due:
        return ""
    if recorded <= third:
        return (
            f"recorded {_told(recorded)}: in time if a full record was made on the day, else due "
            f"{_told(due)} (27 CFR 19.580(a))"
        )
    return f"recorded late, {_told(recorded)}; due {_told(due)} (27 CFR 19.580(a))"


def days_of(entry: Entry) -> tuple[date, date]:
    """The plant's days on which *entry* happened and was recorded."""
    zone = entry.premises.zone
    return entry.happened_at.astimezone(zone).date(), entry.recorded_at.astimezone(zone).date()


def _told(day: date) -> str:
    return f"{day.day} {day:%b %Y}"
