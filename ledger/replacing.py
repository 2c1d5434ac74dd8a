"""Taking an entry back and recording it rightly as one act, checked on its net.

Two entries are written and sealed, or none: the reversal, and the act as it should have stood.
Between the two a holding may fall below zero (later entries used what the mistaken one brought);
what counts is that no holding is negative at any moment once both stand.
"""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone

from ledger.checking import check_shape
from ledger.errors import Changed, NotReversible, Short
from ledger.looking import Look
from ledger.models import Entry, Holding, Premises
from ledger.moments import Key, Sums, lowest_after, shortages
from ledger.plan import Plan, Shortage
from ledger.posting import (
    Planner,
    Posted,
    again,
    check_past,
    found_more,
    lock,
    months_of,
    period_of,
)
from ledger.reversing import reversal
from ledger.writing import Act, deltas_of, keep_holdings, numbered, write


def record_instead(
    planner: Planner,
    *,
    premises: Premises,
    back: Act,
    act: Act,
    previewed: str | None = None,
    accept_shortage: bool = False,
    late: str = "",
    now: datetime | None = None,
    keep_back: Callable[[Entry], None] | None = None,
    keep: Callable[[Entry, Plan], None] | None = None,
) -> Posted:
    """Post *back*, which reverses an entry, and *act*, what *planner* plans without that entry.

    *keep_back* runs with the entry taken back before the plan is made, *keep* with the new entry.
    *previewed*, *accept_shortage* and *late* are as in posting.record; *late* is for both.
    Raises a LedgerError with one sentence, Changed or Short; then the book is as it was.
    """
    old = _reversed_by(back)
    now = now or timezone.now()
    with transaction.atomic():
        locked = lock(premises)
        first = again(locked, act)
        if first:
            return Posted(first, is_new=False, plan=None)
        check_past(act.happened_at, now)
        taken = reversal(old, Look(locked, old.happened_at))
        _write(taken, Look(locked, old.happened_at), back, late=late, now=now)
        if keep_back:
            keep_back(old)
        look = Look(locked, act.happened_at, without=old.pk)
        plan = _settled(planner(look), taken, look, old, accept_shortage=accept_shortage)
        if previewed is not None and previewed != plan.digest():
            raise Changed(plan)
        written = numbered(plan, locked.last_number + 1)
        entry = _write(plan, look, act, late=late, now=now)
        _keep_net(taken, written, look, old)
        if keep:
            keep(entry, plan)
    return Posted(entry, is_new=True, plan=plan)


def rehearse_instead(planner: Planner, **options: Any) -> Plan:
    """The plan that record_instead would post. It is posted and undone, so nothing is left."""
    with transaction.atomic():
        posted = record_instead(planner, **options)
        transaction.set_rollback(True)
    return posted.plan or Plan()


def _reversed_by(back: Act) -> Entry:
    if back.reverses is None:
        raise NotReversible("Name the entry that is taken back.")
    return back.reverses


def _write(plan: Plan, look: Look, act: Act, *, late: str, now: datetime) -> Entry:
    booked, amended = months_of(
        look.premises, act.happened_at, late=late, reason=act.reason, reverses=act.reverses
    )
    return write(
        plan, look, act, period=period_of(look.premises, booked),
        amends=period_of(look.premises, amended) if amended else None, recorded_at=now,
        keeps_holdings=False,
    )  # fmt: skip


def _net(taken: Plan, plan: Plan) -> dict[Key, Sums]:
    return deltas_of((*taken.legs, *plan.legs))


def _settled(
    plan: Plan, taken: Plan, look: Look, old: Entry, *, accept_shortage: bool
) -> Plan:  # fmt: skip
    """*plan* as it can be posted over *taken*; a confirmed gain only where it draws itself."""
    check_shape(plan, signed=False)
    net = _net(taken, plan)
    new = {lot.code for lot in plan.lots}
    falling = {key: sums for key, sums in net.items() if min(sums) < 0}
    units = {
        row.code: row.unit for row in look.fetch_lots([k[1] for k in falling if k[1] not in new])
    }
    units |= {lot.code: lot.unit for lot in plan.lots}
    missing = shortages(falling, look.holdings(falling), units, old.happened_at)
    if not missing:
        return plan
    drawn = {key for key, sums in deltas_of(plan.legs).items() if min(sums) < 0}
    if any(_key(item) not in drawn for item in missing):
        raise StandsOn(old, [item for item in missing if _key(item) not in drawn])
    if not accept_shortage:
        raise Short(missing)
    plan = found_more(plan, missing)
    check_shape(plan, signed=False)
    return plan


def _key(item: Shortage) -> Key:
    return item.place.account, item.place.lot, item.place.vessel


class StandsOn(NotReversible):
    """Later entries used what the entry taken back had brought, and the new one does not."""

    def __init__(self, entry: Entry, missing: list[Shortage]) -> None:
        told = " ".join(item.sentence for item in missing)
        super().__init__(f"Later entries stand on entry {entry.number}: {told}")
        self.entry, self.shortages = entry, missing


def _keep_net(taken: Plan, written: Plan, look: Look, old: Entry) -> None:
    """Keep the holdings by the net of both; StandsOn when one would be negative at any moment."""
    places = [place for leg in taken.legs for place in (leg.origin, leg.to)]
    look.fetch_vessels([place.vessel for place in places if place.vessel])
    look.fetch_lots([place.lot for place in places if place.lot])
    net, own = _net(taken, written), deltas_of(written.legs)
    _check_moments(net, look, old)
    for deltas, at in (
        ({key: sums for key, sums in net.items() if key in own}, look.at),
        ({key: sums for key, sums in net.items() if key not in own}, old.happened_at),
    ):
        if deltas:
            keep_holdings(look, deltas, at)


def _check_moments(net: dict[Key, Sums], look: Look, old: Entry) -> None:
    since = min(look.at, old.happened_at) - timedelta(microseconds=1)
    units = {row.code: row.unit for row in look.fetch_lots(key[1] for key in net)}
    missing = []
    for key, row in look.holdings(net).items():
        after = Holding(account=row.account)
        for name, change in zip(("amount", "wine_gallons", "proof_gallons"), net[key], strict=True):
            setattr(after, name, getattr(row, name) + change)
        least, _ = lowest_after(after, since, row.lot_id, row.vessel_id)
        if min(least) < 0:
            # Nothing is there to take from: the sentence tells how far below zero it would be.
            missing += shortages({key: least}, {}, units, look.at)
    if missing:
        raise StandsOn(old, missing)
