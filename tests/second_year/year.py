"""The second year told once for all tests: each month recorded by the command, filed, closed.

It is told inside a transaction that is rolled back, so that it leaves no row behind.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cache
from io import StringIO
from pathlib import Path
from time import perf_counter
from typing import Any

from django.core.management import call_command
from django.db import transaction

from ledger.models import Entry, Movement, Premises
from reports.month_end import Closed, Filings, close_month, filings_of
from reports.returns import ReturnFigure, read_years, return_figure
from tests.second_year.plant import OWNER, open_plant

HERE = Path(__file__).parent
MONTHS = [date(2025, number, 1) for number in range(1, 13)]
AMENDED = MONTHS[8]


@dataclass(frozen=True)
class Year:
    """What came of it: filings and closing of each month, and what was asked at the end."""

    filings: dict[date, Filings]
    closed: dict[date, Closed]
    told: dict[date, str]
    told_again: dict[date, str]
    amended: Filings
    returns: tuple[ReturnFigure, ...]
    verified: str
    movements: dict[str, list[dict[str, Any]]]  # by operation
    entries: int
    seconds: float


def file_of(month: date, suffix: str) -> Path:
    """The records (jsonl) or the figures (cells) of *month*."""
    return HERE / f"{month:%m}.{suffix}"


def records(month: date) -> Iterator[dict[str, Any]]:
    """The records of *month* as the file has them."""
    for line in file_of(month, "jsonl").read_text(encoding="utf-8").splitlines():
        yield json.loads(line)


def _record(month: date) -> str:
    out = StringIO()
    call_command("record", str(file_of(month, "jsonl")), stdout=out, stderr=out)
    return out.getvalue().strip()


def _movements(premises: Premises) -> dict[str, list[dict[str, Any]]]:
    found: dict[str, list[dict[str, Any]]] = {}
    for operation in Entry.objects.filter(premises=premises).values_list("operation", flat=True):
        found.setdefault(operation, [])
    fields = ("entry__operation", "from_account", "to_account", "purpose", "proof_gallons")
    for row in Movement.objects.filter(entry__premises=premises).values(*fields):
        found[row["entry__operation"]].append(row)
    return found


def _returns(premises: Premises) -> tuple[ReturnFigure, ...]:
    """The returns of the year's periods, read in the January after it."""
    years, today = read_years(premises, since=2025, until=2026), date(2026, 1, 10)
    begins = dict.fromkeys(one.begin for one in years.returns(date(2025, 12, 31)))
    return tuple(return_figure(years, begin, today=today) for begin in begins)


def _tell() -> Year:
    start, out = perf_counter(), StringIO()
    premises = open_plant()
    told, filings, closed = {}, {}, {}
    for month in MONTHS:
        told[month] = _record(month)
        premises.refresh_from_db()
        filings[month] = filings_of(premises, month)
        closed[month] = close_month(premises, month, by=OWNER)
    premises.refresh_from_db()
    for one in filings.values():  # read now what a later filling would ask the database for
        _ = one.book.editions, one.book.last_count
    call_command("verify", stdout=out, stderr=out)
    return Year(
        filings, closed, told, {month: _record(month) for month in MONTHS},
        filings_of(premises, AMENDED), _returns(premises), out.getvalue(), _movements(premises),
        Entry.objects.filter(premises=premises).count(), perf_counter() - start,
    )  # fmt: skip


@cache
def the_year() -> Year:
    """The year; told the first time it is asked for, with the database open to the test."""
    with transaction.atomic():
        year = _tell()
        transaction.set_rollback(True)
    return year
