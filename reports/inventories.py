"""The quarter's inventories beside its reports: what was not counted, and what is not finished.

Only ever a warning: nothing in 27 CFR part 19 lets a report wait for its inventory. In a month
that ends no quarter nothing is asked for.
"""

from json import loads

from distillery.counts import BOTTLED, QUARTER, as_of, last_count
from distillery.inventories_due import HALF_YEARS, in_quarter
from distillery.models import OpenCount
from ledger.models import Premises
from reports.filling import QUARTER_ENDS
from reports.month_book import MonthBook

NOT_COUNTED = {
    QUARTER: (
        "The quarter’s inventory of tanks was not counted: the forms show the book’s figure "
        "(27 CFR 19.312, 19.333, 19.371)."
    ),
    BOTTLED: "The half-year’s inventory of bottled goods was not counted (27 CFR 19.372).",
}


def warnings(book: MonthBook) -> list[str]:
    """What a person should know of the inventories before the month is closed or filed."""
    month = book.month.month
    if month not in QUARTER_ENDS:
        return []
    kinds = [QUARTER] + [BOTTLED] * (month in HALF_YEARS)
    found = [NOT_COUNTED[kind] for kind in kinds if not _is_counted(book, kind)]
    return [*_unfinished(book.premises, book), *found]


def _is_counted(book: MonthBook, kind: str) -> bool:
    if book.last_count is None:
        return False
    entry = last_count(book.premises, book.last_day, kind)
    return entry is not None and in_quarter(as_of(entry, loads(entry.form)), book.last_day)


def _unfinished(premises: Premises, book: MonthBook) -> list[str]:
    rows = OpenCount.objects.filter(
        premises=premises, closed_by=None, is_dropped=False,
        as_of__range=(book.month, book.last_day),
    )  # fmt: skip
    return [
        f"Count {row.number} ({row.get_kind_display()}) is open and not signed." for row in rows
    ]
