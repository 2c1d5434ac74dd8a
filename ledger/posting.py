"""The one door into the book: lock, look, plan, check, write, in one transaction or not at all."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any

from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from ledger.accounts import ACCOUNTS
from ledger.checking import check_shape
from ledger.errors import (
    BadFact,
    Changed,
    FutureDate,
    KeyConflict,
    MonthClosed,
    Short,
)
from ledger.looking import Look
from ledger.models import Entry, Lot, Period, Premises
from ledger.moments import shortages, sum_deltas
from ledger.plan import Leg, Place, Plan, Shortage
from ledger.writing import Act, numbered, write

Planner = Callable[[Look], Plan]
AHEAD = timedelta(minutes=5)  # clocks of tablets differ; an act later than this has not happened

# How a record that happened in a closed month is booked.
LATE_OPEN = "open"  # in the open month, on the form's own lines, with an explanation
LATE_AMEND = "amend"  # in the open month's book, counted in the closed month it amends


@dataclass(frozen=True, slots=True)
class Posted:
    """What the door answers: the entry, and whether it was written now or was there before."""

    entry: Entry
    is_new: bool
    plan: Plan | None


def lock(premises: Premises) -> Premises:
    """The premises row, locked until the transaction ends.

    SQLite's IMMEDIATE transaction already serialises writers. On PostgreSQL ``no_key`` leaves
    other rows free to refer to the premises meanwhile.
    """
    return Premises.objects.select_for_update(no_key=True).get(pk=premises.pk)


def month_of(premises: Premises, moment: datetime) -> date:
    """First day of the month *moment* falls in, in the plant's own time zone."""
    return moment.astimezone(premises.zone).date().replace(day=1)


def next_month(month: date) -> date:
    """First day of the month after *month*."""
    return (month + timedelta(days=32)).replace(day=1)


def _id(table: str, column: str, premises: Premises, value: Any) -> int | None:
    """The row of *premises* with *value*, by plain SQL: every posting asks it twice."""
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT id FROM {table} WHERE premises_id = %s AND {column} = %s",  # noqa: S608
            [premises.pk, value],
        )
        row = cursor.fetchone()
    return row[0] if row else None


def period_of(premises: Premises, month: date) -> Period:
    """The row of *month*, made when the month is new to the book."""
    value = connection.ops.adapt_datefield_value(month)
    found = _id("ledger_period", "month", premises, value)
    if found is None:
        return Period.objects.create(premises=premises, month=month)
    return Period(pk=found, premises=premises, month=month)


def months_of(
    premises: Premises,
    happened_at: datetime,
    *,
    late: str,
    reason: str,
    reverses: Entry | None = None,
) -> tuple[date, date | None]:
    """First day of the month an act is booked in, and of the closed month it amends if any.

    What takes an entry back falls where that fell while the month it was booked in is open, and
    else counts in the month that it counted in.
    Raises MonthClosed when the act fell in a closed month and *late* does not say how to book it.
    """
    month = month_of(premises, happened_at)
    closed = premises.closed_through
    if reverses:
        amended = reverses.amends.month if reverses.amends else None
        if closed is None or reverses.period.month > closed:
            return reverses.period.month, amended
        month = amended or reverses.period.month
    if closed is None or month > closed:
        return month, None
    if late not in (LATE_OPEN, LATE_AMEND):
        raise MonthClosed(
            f"{month:%B %Y} is closed. The owner can book this in the open month with an "
            "explanation, or as an amendment of the closed month."
        )
    if not reason:
        raise BadFact("Say why this comes late; the explanation is printed on the report.")
    if late == LATE_AMEND:
        _check_amendable(premises, month)
        return next_month(closed), month
    return next_month(closed), None


def _check_amendable(premises: Premises, month: date) -> None:
    """Refuse a month from before the book: it has no report here to amend."""
    if not Period.objects.filter(premises=premises, month=month).exists():
        raise BadFact(
            f"There is no report of {month:%B %Y} to amend: the book begins later. "
            "Book it in the open month, with an explanation."
        )


def check_past(happened_at: datetime, now: datetime) -> None:
    """Refuse the future, but for what two clocks may differ by."""
    if happened_at > now + AHEAD:
        raise FutureDate(
            "That lies in the future. Only what has happened can be recorded.", field="at"
        )


def _gain(item: Shortage) -> Leg:
    """The movement that brings in what the book lacks of one holding."""
    origin = Place("gain", item.place.lot)
    three = (item.amount, item.wine_gallons, item.proof_gallons)
    if not ACCOUNTS[item.place.account].spirits or item.place.account == "finished":
        return Leg(origin, item.place, "count", *three)
    if item.proof_gallons:
        return Leg(origin, item.place, "regauge", *three)
    # Gallons without alcohol: the strength was told wrong, not the spirits.
    return Leg(replace(origin, account="contraction"), item.place, "reduce", *three)


def found_more(plan: Plan, missing: list[Shortage]) -> Plan:
    """*plan* with an explicit gain before it for all that the book lacks at that moment."""
    return replace(plan, legs=(*map(_gain, missing), *plan.legs))


def settle(plan: Plan, look: Look, *, accept_shortage: bool) -> Plan:
    """*plan* as it can be posted: unchanged, or with the confirmed gain; else raises Short."""
    deltas = sum_deltas(
        (leg.origin, leg.to, leg.amount, leg.wine_gallons, leg.proof_gallons) for leg in plan.legs
    )
    falling = {key: sums for key, sums in deltas.items() if min(sums) < 0}
    if not falling:
        return plan
    new = {lot.code for lot in plan.lots}
    known = [code for _, code, _ in falling if code not in new]
    units = {lot.code: lot.unit for lot in look.fetch_lots(known)}
    units |= {lot.code: lot.unit for lot in plan.lots}
    missing = shortages(falling, look.holdings(falling), units, look.at)
    if not missing:
        return plan
    if not accept_shortage:
        raise Short(missing)
    return found_more(plan, missing)


def propose(
    planner: Planner, look: Look, *, accept_shortage: bool = False, signed: bool = False
) -> Plan:
    """Run *planner* against *look* and check the plan whole; the same for preview and posting."""
    plan = planner(look)
    check_shape(plan, signed=signed)
    plan = settle(plan, look, accept_shortage=accept_shortage)
    check_shape(plan, signed=signed)
    return plan


def preview(
    planner: Planner,
    *,
    premises: Premises,
    happened_at: datetime,
    accept_shortage: bool = False,
    signed: bool = False,
    late: str = "",
    reason: str = "",
    reverses: Entry | None = None,
) -> Plan:
    """What *planner* would post at *happened_at*, without a lock and without writing."""
    look = Look.now(premises, happened_at)
    check_past(happened_at, timezone.now())
    months_of(look.premises, happened_at, late=late, reason=reason, reverses=reverses)
    return propose(planner, look, accept_shortage=accept_shortage, signed=signed)


def again(premises: Premises, act: Act) -> Entry | None:
    """The entry already written under this key, if its content is the same."""
    # Almost always there is none: the plain question costs a tenth of reading an entry.
    found = _id("ledger_entry", "key", premises, act.key)
    if found is None:
        return None
    entry = Entry.objects.get(pk=found)
    if (entry.operation, entry.form, entry.happened_at) != (
        act.operation,
        act.form,
        act.happened_at,
    ):
        raise KeyConflict(
            f"The key “{act.key}” was used for entry {entry.number} with other content. "
            "Give this record a key of its own."
        )
    return entry


def record(
    planner: Planner,
    *,
    premises: Premises,
    act: Act,
    previewed: str | None = None,
    accept_shortage: bool = False,
    late: str = "",
    signed: bool = False,
    now: datetime | None = None,
    keep: Callable[[Entry, Plan], None] | None = None,
) -> Posted:
    """Post one act. *planner* is run under the lock on the book as of ``act.happened_at``.

    *previewed* is the digest of the plan a person confirmed: when the book has moved since,
    Changed carries the new plan and nothing is written. *accept_shortage* posts what the book
    lacks as an explicit gain at that moment. *keep* runs inside the transaction after the entry
    is written, for the operation's own rows.
    Raises a LedgerError with one sentence; then the book is as it was.
    """
    now = now or timezone.now()
    plan = None
    try:
        with transaction.atomic():
            locked = lock(premises)
            first = again(locked, act)
            if first:
                return Posted(first, is_new=False, plan=None)
            check_past(act.happened_at, now)
            booked, amended = months_of(
                locked, act.happened_at, late=late, reason=act.reason, reverses=act.reverses
            )
            look = Look(locked, act.happened_at)
            plan = propose(planner, look, accept_shortage=accept_shortage, signed=signed)
            if previewed is not None and previewed != plan.digest():
                raise Changed(plan)
            entry = write(
                plan, look, act, period=period_of(locked, booked),
                amends=period_of(locked, amended) if amended else None, recorded_at=now,
            )  # fmt: skip
            if keep:
                keep(entry, plan)
    except IntegrityError:
        refuse_known_lots(premises, plan)
        raise
    return Posted(entry, is_new=True, plan=plan)


def refuse_known_lots(premises: Premises, plan: Plan | None) -> None:
    """Say which lot code of *plan* was taken, after the database has refused it."""
    number = Premises.objects.values_list("last_number", flat=True).get(pk=premises.pk) + 1
    codes = [lot.code for lot in numbered(plan, number).lots] if plan else []
    taken = Lot.objects.filter(premises=premises, code__in=codes).first() if codes else None
    if taken:
        raise BadFact(f"There is already a lot “{taken.code}”. Give the new lot another code.")
