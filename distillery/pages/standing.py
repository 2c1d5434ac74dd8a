"""What stands where now: one query for the whole plant, shared by floor, vessel and forms."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import OuterRef, QuerySet, Subquery

from distillery.models import Reading
from distillery.operations.base import Operation
from distillery.pages.sentences import account_title, quantity, strength, title_of
from ledger.looking import Held
from ledger.models import Holding, Premises, Vessel
from ledger.models.book import LIVE


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

    def __str__(self) -> str:
        return f"{self.lot} {self.name}, {self.quantity}"


def held_now(premises: Premises, vessels: Iterable[Vessel] | None = None) -> dict[int, list[Held]]:
    """What every vessel (or only *vessels*) holds now, by the vessel's row number."""
    rows = Holding.objects.filter(LIVE, premises=premises).select_related("lot", "vessel__sheet")
    rows = rows if vessels is None else rows.filter(vessel__in=list(vessels))
    found: dict[int, list[Held]] = defaultdict(list)
    for row in rows.order_by("pk"):
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
        strength(held.proof_tenths if held.proof_gallons else None), held.since,
    )  # fmt: skip


def acts_at(vessel: Vessel, held: Iterable[Held], offered: Iterable[Operation]) -> list[Operation]:
    """What makes sense at *vessel* now, out of the operations *offered* to this person."""
    accounts = {one.account for one in held} or {""}
    return [
        one for one in offered if vessel.kind in one.kinds and accounts.intersection(one.accounts)
    ]


def with_last_reading(vessels: "QuerySet[Vessel]") -> tuple[list[Vessel], dict[int, Reading]]:
    """The vessels, and the newest reading of each by the vessel's row number: two queries."""
    newest = Reading.objects.filter(vessel=OuterRef("pk")).order_by("-at")
    rows = list(vessels.annotate(last_reading=Subquery(newest.values("pk")[:1])))
    ids = [row.last_reading for row in rows if row.last_reading]
    readings = Reading.objects.in_bulk(ids) if ids else {}
    return rows, {reading.vessel_id: reading for reading in readings.values()}


__all__ = ["Content", "acts_at", "content", "held_now", "title_of", "with_last_reading"]
