"""Which inventories the law asks for about now; in any other month, none."""

from dataclasses import dataclass
from datetime import date, timedelta
from json import loads

from distillery.business_days import is_business_day
from distillery.counts import BOTTLED, QUARTER, as_of, last_count
from distillery.notices import NOTICE_DAYS, inventory_notice, told_day
from ledger.models import Premises

AFTER = 15  # days after a quarter's end while it is still spoken of: its reports are due then
HALF_YEARS = (6, 12)


@dataclass(frozen=True, slots=True)
class Due:
    """One inventory that is due: its kind, its day, and a sentence."""

    kind: str
    day: date
    text: str
    wants_notice: bool = False


def quarter_end(today: date) -> date | None:
    """The quarter's end that *today* lies in the month of, or shortly after; None otherwise."""
    if today.month % 3 == 0:
        return _month_end(today)
    before = today.replace(day=1) - timedelta(days=1)
    near = (today - before).days <= AFTER and before.month % 3 == 0
    return before if near else None


def _month_end(day: date) -> date:
    return (day.replace(day=1) + timedelta(days=32)).replace(day=1) - timedelta(days=1)


def in_quarter(day: date, end: date) -> bool:
    """Whether *day* lies in the quarter that ends on *end*."""
    return (day.year, (day.month - 1) // 3) == (end.year, (end.month - 1) // 3)


def due(premises: Premises, today: date) -> list[Due]:
    """What is still to be counted for the quarter's end about *today*."""
    end = quarter_end(today)
    if end is None:
        return []
    found = []
    if not counted(premises, end, QUARTER):
        found.append(Due(QUARTER, end, _quarter_words(end)))
    if end.month in HALF_YEARS and not counted(premises, end, BOTTLED):
        found.append(_bottled(premises, end))
    return found


def counted(premises: Premises, end: date, kind: str) -> bool:
    """Whether a count of *kind* stands for a day of the quarter that ends on *end*."""
    entry = last_count(premises, end, kind)
    return entry is not None and in_quarter(as_of(entry, loads(entry.form)), end)


def _quarter_words(end: date) -> str:
    return (
        f"The quarter ends {told_day(end)}: the spirits in tanks of each account are counted, "
        "packages are not (27 CFR 19.312, 19.333, 19.371)."
    )


def last_day_of_notice(day: date) -> date:
    """The last day on which notice of an inventory on *day* is in time (27 CFR 19.372)."""
    left = NOTICE_DAYS
    while left:
        left -= is_business_day(day)
        day -= timedelta(days=1)
    return day


def _bottled(premises: Premises, end: date) -> Due:
    notice = inventory_notice(premises, end)
    text = f"All that is bottled or packaged is counted for {told_day(end)} (27 CFR 19.372)."
    if notice:
        return Due(BOTTLED, end, f"{text} Notice was given {told_day(notice.given_on)}.")
    by = told_day(last_day_of_notice(end))
    return Due(BOTTLED, end, f"{text} Tell the authority by {by}.", wants_notice=True)
