"""Closing a month: store its sums by flow and the running sums, and take no more movements."""

from datetime import date, datetime

from django.db import transaction
from django.db.models import Sum
from django.utils import timezone

from ledger import totals
from ledger.accounts import INSIDE
from ledger.errors import NotClosable
from ledger.models import Designation, FlowTotal, Holding, Movement, Period, Premises
from ledger.models.book import LIVE
from ledger.posting import lock, month_of, next_month


def differences(premises: Premises) -> list[str]:
    """Where the kept holdings differ from what the movements add up to; empty when they agree."""
    last = totals.last_closed_before(premises, date.max)
    since = Period.objects.filter(premises=premises)
    since = since.filter(month__gt=last.month) if last else since
    # From the last closing on: verify reads the whole book, a closing must not grow with it.
    sums = totals.running_at_closing(last)
    totals.add(sums, totals.grouped(Movement.objects.filter(period__in=since.values("pk"))))
    by_book = totals.balances(sums)
    rows = Holding.objects.filter(LIVE, premises=premises).values_list(
        "account", "lot__designation"
    )
    kept = {
        tuple(row[:2]): list(row[2:])
        for row in rows.annotate(Sum("amount"), Sum("wine_gallons"), Sum("proof_gallons"))
    }
    names = Designation.objects.in_bulk()
    found = []
    for key in sorted({*kept, *(k for k in by_book if k[0] in INSIDE)}, key=str):
        if kept.get(key, [0, 0, 0]) != list(by_book.get(key, [0, 0, 0])):
            kind = names.get(key[1])
            found.append(f"Book and holdings differ in {key[0]} for {kind or 'materials'}.")
    return found


def first_open(premises: Premises) -> date | None:
    """The oldest month that is not closed and has entries; None for an empty book."""
    rows = Period.objects.filter(premises=premises, state=Period.State.OPEN)
    first = rows.order_by("month").first()
    return first.month if first else None


def check_order(premises: Premises, month: date, now: datetime) -> None:
    """Refuse to close a month that is not over, already closed, or not the oldest open one."""
    if month >= month_of(premises, now):
        raise NotClosable([f"{month:%B %Y} is not over yet."])
    if premises.closed_through and month <= premises.closed_through:
        raise NotClosable([f"{month:%B %Y} is closed already."])
    due = next_month(premises.closed_through) if premises.closed_through else first_open(premises)
    if due and due < month:
        raise NotClosable([f"Close {due:%B %Y} first."])
    if due and month < due:
        raise NotClosable([f"The book begins in {due:%B %Y}; there is nothing to close before."])


def close(premises: Premises, month: date, *, by: str, now: datetime | None = None) -> Period:
    """Close *month* (its first day). Raises NotClosable with the reasons; then nothing changes."""
    now = now or timezone.now()
    with transaction.atomic():
        locked = lock(premises)
        check_order(locked, month, now)
        if found := differences(locked):
            raise NotClosable(found)
        period, _ = Period.objects.get_or_create(premises=locked, month=month)
        _store_totals(locked, period)
        period.state = Period.State.CLOSED
        period.closed_at, period.closed_by = now, by
        period.closed_number, period.closed_seal = locked.last_number, locked.last_seal
        period.save()
        locked.closed_through = month
        locked.save(update_fields=["closed_through"])
    premises.closed_through = month
    return period


def total_rows(premises: Premises, period: Period) -> list[FlowTotal]:
    """The rows a closing of *period* stores: its own sums and the running sums by flow."""
    own = totals.grouped(totals.booked(period))
    last = totals.last_closed_before(premises, period.month)
    running = totals.running_at_closing(last)
    totals.add(running, totals.grouped(Movement.objects.filter(period=period)))
    rows = []
    for key in sorted({*own, *running}, key=str):
        facts = dict(zip(totals.GROUP, key, strict=True))
        facts["from_designation_id"] = facts.pop("from_designation")
        facts["to_designation_id"] = facts.pop("to_designation")
        amount, wine, proof = own.get(key, [0, 0, 0])
        run = running.get(key, [0, 0, 0])
        rows.append(
            FlowTotal(
                period=period, **facts,
                amount=amount, wine_gallons=wine, proof_gallons=proof,
                run_amount=run[0], run_wine_gallons=run[1], run_proof_gallons=run[2],
            )
        )  # fmt: skip
    return rows


def _store_totals(premises: Premises, period: Period) -> None:
    FlowTotal.objects.bulk_create(total_rows(premises, period))
