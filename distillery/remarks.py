"""Remarks: written by acts that move nothing, read by the pages of vessels and lots."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Exists, OuterRef

from distillery.models import Remark
from ledger.accounts import SPIRITS
from ledger.looking import Held
from ledger.models import Entry, Lot, Movement, Vessel

LONGEST = 400
STATES = (Remark.Kind.STOPPED, Remark.Kind.RUNNING)
CLEANINGS = (Remark.Kind.CLEAN, Remark.Kind.NOT_READY)


@dataclass(frozen=True, slots=True)
class State:
    """What a card says of its vessel: ``Stopped``, since when, and the words noted then."""

    title: str
    since: datetime
    words: str


def note(
    entry: Entry, kind: str, words: str, *, vessel: Vessel | None = None, lot: Lot | None = None
) -> Remark:
    """Keep *words* of *entry* for the page of its vessel, its lot, or both."""
    return Remark.objects.create(
        premises=entry.premises, entry=entry, kind=kind, vessel=vessel, lot=lot,
        at=entry.happened_at, words=words[:LONGEST],
    )  # fmt: skip


def take_back(entry: Entry) -> None:
    """The remark of an entry that is taken back says nothing any more."""
    Remark.objects.filter(entry=entry).update(is_void=True)


def shown(**only: Any) -> list[Remark]:
    """The remarks of a vessel or a lot, newest first."""
    rows = Remark.objects.filter(is_void=False, **only).select_related("entry", "vessel", "lot")
    return list(rows.order_by("-at", "-pk")[:20])


def states_of(vessels: Iterable[Vessel], held: dict[int, list[Held]]) -> dict[int, State]:
    """What the latest remark says of each vessel now, by its row number: one query.

    A stop counts for as long as the run that stood there then; a cleaning for as long as
    nothing was put into the vessel since.
    """
    used = Movement.objects.filter(to_vessel=OuterRef("vessel"), at__gt=OuterRef("at"))
    rows = Remark.objects.filter(
        is_void=False, vessel__in=list(vessels), kind__in=(*STATES, *CLEANINGS)
    ).annotate(was_used=Exists(used))
    latest = {row.vessel_id: row for row in rows.order_by("at", "pk")}
    found = {}
    for vessel_id, row in latest.items():
        state = _state(row, held.get(vessel_id, []))
        if vessel_id is not None and state:
            found[vessel_id] = state
    return found


def _state(row: Any, held: list[Held]) -> State | None:
    title = {"stopped": "Stopped", "clean": "Clean, ready", "not_ready": "Cleaned, not ready"}
    if row.kind == Remark.Kind.STOPPED:
        runs = [one for one in held if one.lot.stage == "run" and one.since <= row.at]
        stands = any(one.account in SPIRITS for one in runs)
    else:
        stands = row.kind in CLEANINGS and not row.was_used and not held
    return State(title[row.kind], row.at, row.words) if stands else None
