"""Remarks: written by acts that move nothing, read by the pages of vessels and lots."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Exists, F, OuterRef, Subquery

from distillery.models import Remark
from ledger.looking import Held
from ledger.models import Entry, Lot, Movement, Premises, Vessel

LONGEST = 400
STATES = (Remark.Kind.STOPPED, Remark.Kind.RUNNING)
CLEANINGS = (Remark.Kind.CLEAN, Remark.Kind.NOT_READY)
TITLES = {"stopped": "Stopped", "clean": "Clean, ready", "not_ready": "Cleaned, not ready"}
SHOWN = 20
_USED = Movement.objects.filter(to_vessel=OuterRef("vessel"), at__gt=OuterRef("at"))


@dataclass(frozen=True, slots=True)
class State:
    """What a card says of its vessel: ``Stopped``, since when, and the words noted then."""

    title: str
    since: datetime
    words: str

    @property
    def is_stopped(self) -> bool:
        """Whether it is a still in the middle of a run."""
        return self.title == TITLES["stopped"]


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
    return list(rows.annotate(was_used=Exists(_USED)).order_by("-at", "-pk")[:SHOWN])


def states_of(held: dict[int, list[Held]], premises: Premises) -> dict[int, State]:
    """What the latest remark says of each vessel of *premises* now, by its row number: one query.

    A stop counts for as long as the run that stood there then; a cleaning for as long as
    nothing was put into the vessel since.
    """
    rows = Remark.objects.filter(
        premises=premises, is_void=False, vessel__isnull=False, kind__in=(*STATES, *CLEANINGS)
    ).annotate(was_used=Exists(_USED), latest=Subquery(_latest()))
    found = {}
    for row in rows.filter(pk=F("latest")):
        state = state_in([row], held.get(row.vessel_id or 0, []))
        if row.vessel_id is not None and state:
            found[row.vessel_id] = state
    return found


def _latest() -> Any:
    rows = Remark.objects.filter(
        vessel=OuterRef("vessel"), is_void=False, kind__in=(*STATES, *CLEANINGS)
    )
    return rows.order_by("-at", "-pk").values("pk")[:1]


def state_in(remarks: Iterable[Any], held: Iterable[Held]) -> State | None:
    """The state that the newest of *remarks* (newest first) gives a vessel with *held* in it."""
    row = next((one for one in remarks if one.kind in (*STATES, *CLEANINGS)), None)
    if row is None or row.kind == Remark.Kind.RUNNING:
        return None
    if row.kind == Remark.Kind.STOPPED:
        stands = any(one.lot.stage == "run" and one.since <= row.at for one in held)
    else:
        stands = not row.was_used and not list(held)
    return State(TITLES[row.kind], row.at, row.words) if stands else None
