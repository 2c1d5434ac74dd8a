"""Opening, in, out and closing of each account and kind, and the last count beside them."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from json import loads

from django.db.models import Sum

from distillery.counts import as_of
from ledger.accounts import ACCOUNTS, SPIRITS
from ledger.classes import CLASSES
from ledger.models import Holding, Premises
from ledger.models.book import LIVE
from reports.facts import Reader
from reports.month_book import Balance, MonthBook


@dataclass(frozen=True, slots=True)
class Row:
    """One kind in one account, in hundredths of a proof gallon."""

    title: str
    opening: int
    into: int
    out: int
    closing: int


@dataclass(frozen=True, slots=True)
class AccountRows:
    """An account with its kinds and their total."""

    title: str
    rows: tuple[Row, ...]
    total: Row


@dataclass(frozen=True, slots=True)
class Count:
    """The last count up to the month's end, and how it compared with the book."""

    number: int
    day: date
    kind: str
    places: int


def held_now(premises: Premises) -> Balance:
    """What the kept holdings add up to, by account and designation; one query."""
    rows = Holding.objects.filter(LIVE, premises=premises).values_list(
        "account", "lot__designation"
    )
    sums = rows.annotate(Sum("amount"), Sum("wine_gallons"), Sum("proof_gallons"))
    return {(row[0], row[1]): list(row[2:]) for row in sums}


def reconcile(book: MonthBook) -> tuple[AccountRows, ...]:
    """The month's table: accounts of spirits in their order, kinds that hold or move anything."""
    reader = Reader(book.designations)
    sums: dict[tuple[str, str], list[int]] = defaultdict(lambda: [0, 0, 0, 0])

    def kind(designation: object) -> str:
        return reader.of(designation)["class_code"]

    for place, balance in ((0, book.opening), (3, book.closing)):
        for (account, designation), three in balance.items():
            sums[account, kind(designation)][place] += three[2]
    for key, three in book.flows.items():
        into, out = (str(key[1]), kind(key[4])), (str(key[0]), kind(key[3]))
        if into != out:
            sums[into][1] += three[2]
            sums[out][2] += three[2]
    return tuple(found for account in SPIRITS if (found := _account(account, sums)).rows)


def _account(account: str, sums: dict[tuple[str, str], list[int]]) -> AccountRows:
    order = [*CLASSES, ""]
    rows = tuple(
        Row(CLASSES[code].title if code else "Kind not named", *sums[account, code])
        for code in order
        if (account, code) in sums and any(sums[account, code])
    )
    total = Row("Total", *(
        sum(getattr(row, name) for row in rows) for name in ("opening", "into", "out", "closing")
    ))  # fmt: skip
    return AccountRows(ACCOUNTS[account].title, rows, total)


def last_count(book: MonthBook) -> Count | None:
    """The newest count that stands for a day up to the month's end."""
    entry = book.last_count
    if entry is None:
        return None
    form = loads(entry.form)
    rows = form.get("rows") or []
    return Count(entry.number, as_of(entry, form), str(form.get("kind", "")), len(rows))
