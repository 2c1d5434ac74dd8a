"""What stands where now: one query for the whole plant, shared by floor, vessel and forms."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import OuterRef, Q, QuerySet, Subquery

from distillery.check_due import Due
from distillery.likely import in_order
from distillery.models import Reading
from distillery.operations.base import Operation
from distillery.pages.sentences import account_title, quantity, strength
from distillery.remarks import State
from distillery.shown_in import ShownIn, gravity_words
from ledger import units
from ledger.looking import Held
from ledger.models import Holding, Premises, Vessel
from ledger.models.book import LIVE

NOTE_SHOWN = 40


@dataclass(frozen=True, slots=True)
class Content:
    """One lot standing in a vessel, as text."""

    lot: str
    name: str
    account: str
    account_code: str
    quantity: str
    strength: str
    since: datetime
    owner: str = ""  # whoever else owns it

    def __str__(self) -> str:
        return f"{self.lot} {self.name}, {self.quantity}"


def held_now(premises: Premises, **only: Any) -> dict[int, list[Held]]:
    """What every vessel holds now, by the vessel's row number; *only* narrows the holdings, as
    ``vessel=`` or ``lot=``."""
    rows = Holding.objects.filter(LIVE, premises=premises, **only)
    found: dict[int, list[Held]] = defaultdict(list)
    for row in rows.select_related("lot", "vessel__sheet").order_by("pk"):
        three = (row.amount, row.wine_gallons, row.proof_gallons)
        found[row.vessel_id].append(Held(row.lot, row.vessel, row.account, *three, since=row.since))
    return found


def content(held: Held) -> Content:
    """*held* as text."""
    return Content(
        held.lot.code, held.lot.name, account_title(held.account), held.account,
        quantity(
            amount=held.amount, unit=held.lot.unit,
            wine_gallons=held.wine_gallons, proof_gallons=held.proof_gallons,
        ),
        strength(_proof(held)), held.since, held.lot.owner,
    )  # fmt: skip


def _proof(held: Held) -> int | None:
    """Tenths of a degree: that of the label where it is bottled, else by the book."""
    if not held.proof_gallons:
        return None
    return held.lot.label_proof or held.proof_tenths


def most_first(held: Iterable[Held]) -> list[Held]:
    """What a vessel holds, the bulk of it before the leavings."""
    return sorted(held, key=lambda one: (-one.proof_gallons, -one.wine_gallons, -one.amount))


def acts_at(
    vessel: Vessel,
    held: Iterable[Held],
    offered: Iterable[Operation],
    *,
    bottling: Due | None = None,
    state: State | None = None,
) -> list[Operation]:
    """What makes sense at *vessel* now, out of the operations *offered*, with the *bottling* that
    is open in it and the *state* it was left in; likeliest first."""
    held = list(held)
    accounts = {one.account for one in held} or {""}
    found = [
        one for one in offered if vessel.kind in one.kinds and accounts.intersection(one.accounts)
    ]
    is_stopped = state is not None and state.is_stopped
    return in_order(vessel, held, found, bottling=bottling, is_stopped=is_stopped)


def with_last_reading(vessels: QuerySet[Vessel]) -> tuple[list[Vessel], dict[int, Reading]]:
    """The vessels, and the newest reading of each by the vessel's row number: two queries."""
    bare_cut = Q(still_reading__cut__gt="", temperature_f=None, proof=None)
    newest = Reading.objects.standing().filter(vessel=OuterRef("pk")).exclude(bare_cut)
    newest = newest.order_by("-at")
    told = vessels.annotate(last_reading=Subquery(newest.values("pk")[:1]))
    rows: list[Any] = list(told)
    readings = Reading.objects.in_bulk([row.last_reading for row in rows if row.last_reading])
    return rows, {reading.vessel_id: reading for reading in readings.values()}


def reading_words(reading: Reading, shown: ShownIn) -> str:
    """The figures of *reading* in the plant's units: ``SG 1.0310 · 84.0 °F``."""
    told = [
        gravity_words(reading.gravity, shown.gravity),
        temperature_words(reading, shown.temperature),
        f"pH {reading.ph}" if reading.ph is not None else "",
        f"{reading.proof} proof" if reading.proof is not None else "",
        reading.note if len(reading.note) <= NOTE_SHOWN else f"{reading.note[:NOTE_SHOWN]}…",
    ]
    return " · ".join(text for text in told if text)


def temperature_words(reading: Reading, unit: str) -> str:
    """Its temperature in *unit* ("F" or "C"); "" when none was read."""
    if reading.temperature_f is None:
        return ""
    return units.show(reading.temperature_f, "temperature", unit)
