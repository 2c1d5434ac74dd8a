"""Walking a count: which places it is about, what was found so far, and the record of it all."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from json import dumps, loads
from typing import Any

from django.db import transaction
from django.db.models import Max

from distillery.counts import BOTTLED, BULK, QUARTER, Counted, compared
from distillery.forms.base import RecordForm
from distillery.models import CountedPlace, OpenCount
from distillery.operations.count import CountForm, CountPart
from distillery.printed_cells import cells_for
from ledger.errors import BadFact, LedgerError
from ledger.gauging.tables import using
from ledger.looking import Held, Look
from ledger.models import Holding, Lot, Premises, Vessel
from ledger.models.book import LIVE
from ledger.posting import lock

# The order in which a person walks: bulk by account, then bottles, wash and materials.
ACCOUNTS = (*BULK, "finished", "taxpaid", "fermenting", "materials")


@dataclass(frozen=True, slots=True)
class Stop:
    """One place on the walk: what the book has there, and what was found if it was counted."""

    held: Held
    place: CountedPlace | None
    counted: Counted | None
    problem: str = ""

    @property
    def is_done(self) -> bool:
        """Whether it was counted and the finding still fits the book."""
        return self.place is not None and not self.problem


def start(
    premises: Premises, *, kind: str, as_of: date, is_blind: bool, by: str, now: datetime
) -> OpenCount:
    """A new count under the next number of the plant."""
    with transaction.atomic():
        locked = lock(premises)
        last = OpenCount.objects.filter(premises=locked).aggregate(n=Max("number"))["n"] or 0
        return OpenCount.objects.create(
            premises=locked, number=last + 1, kind=kind, as_of=as_of, is_blind=is_blind,
            started_at=now, started_by=by,
        )  # fmt: skip


def wanted(count: OpenCount) -> list[Held]:
    """What the book has now that a count of this kind is about (27 CFR 19.312, 19.333, 19.371-2).

    Tanks and other bulk without packages for the quarter; all that is bottled for the half-year;
    everything the book has otherwise.
    """
    accounts = {QUARTER: BULK, BOTTLED: ("finished",)}.get(count.kind, ACCOUNTS)
    rows = Holding.objects.filter(LIVE, premises=count.premises, account__in=accounts)
    if count.kind == QUARTER:
        rows = rows.exclude(vessel__kind=Vessel.Kind.BARREL)
    found = [
        Held(row.lot, row.vessel, row.account, row.amount, row.wine_gallons, row.proof_gallons,
             since=row.since)
        for row in rows.select_related("lot__designation", "vessel__sheet")
    ]  # fmt: skip
    return sorted(found, key=_order)


def _order(held: Held) -> tuple[int, str, str]:
    return ACCOUNTS.index(held.account), held.vessel.code, held.lot.code


def walk(count: OpenCount, now: datetime) -> list[Stop]:
    """Every place to go to, counted ones with their difference; then what else was counted."""
    places = count.places.select_related("vessel__sheet", "lot__designation").order_by("pk")
    for place in places:
        place.count = count
    counted = {(place.vessel.code, place.lot.code): place for place in places}
    look = Look.now(count.premises, now)
    look(*dict.fromkeys(code for code, _ in counted))
    rows = [(held, counted.pop((held.vessel.code, held.lot.code), None)) for held in wanted(count)]
    rows += [
        (Held(place.lot, place.vessel, "", 0, 0, 0, since=place.counted_at), place)
        for place in counted.values()
    ]
    with using(cells_for(count.premises)):
        return [_stop(held, place, look) for held, place in rows]


def _stop(held: Held, place: CountedPlace | None, look: Look) -> Stop:
    if place is None:
        return Stop(held, None, None)
    try:
        found = compared(cleaned(place, look.premises), look)
    except LedgerError as error:
        return Stop(held, place, None, str(error))
    return Stop(found.held, place, found)


def next_place(count: OpenCount) -> Held | None:
    """The first place on the walk where nothing was found yet; None when all were."""
    done = set(count.places.values_list("vessel__code", "lot__code"))
    left = (held for held in wanted(count) if (held.vessel.code, held.lot.code) not in done)
    return next(left, None)


def barrels_left(count: OpenCount) -> list[Held]:
    """The barrels of the walk that were not counted yet."""
    done = set(count.places.values_list("vessel__code", "lot__code"))
    return [
        held for held in wanted(count)
        if held.vessel.kind == Vessel.Kind.BARREL
        and (held.vessel.code, held.lot.code) not in done
    ]  # fmt: skip


def row_of(place: CountedPlace) -> dict[str, Any]:
    """The row as the record of the count has it."""
    moment = place.counted_at.astimezone(place.count.premises.zone)
    return {**loads(place.row), "counted_at": f"{moment:%Y-%m-%dT%H:%M:%S}"}


class FoundPart(CountPart):
    """A row of the count whose vessel and lot are known already."""

    vessel = None  # type: ignore[assignment]
    lot = None  # type: ignore[assignment]


def cleaned(place: CountedPlace, premises: Premises) -> dict[str, Any]:
    """The row as the count's own form cleans it, vessel and lot not read again.

    Raises BadFact when it no longer does.
    """
    told = {name: value for name, value in row_of(place).items() if name not in ("vessel", "lot")}
    part = FoundPart(told, premises=premises)
    if not part.is_valid():
        raise BadFact(" ".join(part.sentences()), field="rows")
    return {**part.cleaned_data, "vessel": place.vessel, "lot": place.lot}


def cleaned_row(row: dict[str, Any], premises: Premises) -> dict[str, Any]:
    """One row through the count's form. Raises BadFact with every sentence."""
    form: RecordForm = CountForm(
        {"at": row["counted_at"], "kind": "other", "rows": [row]}, premises=premises
    )
    with using(cells_for(premises)):
        is_valid = form.is_valid()
    if not is_valid:
        told = [str(text) for texts in form.errors.values() for text in texts]
        raise BadFact(" ".join(told), field="rows")
    (only,) = form.cleaned_data["rows"]
    return only


def keep_place(
    count: OpenCount, row: dict[str, Any], *, vessel: Vessel, lot: Lot, by: str, now: datetime
) -> CountedPlace:
    """Keep what was found; counted again, the newer finding stands."""
    place, _ = CountedPlace.objects.update_or_create(
        count=count, vessel=vessel, lot=lot,
        defaults={"row": dumps(row, ensure_ascii=False), "counted_at": now, "by": by},
    )  # fmt: skip
    return place


def record_of(count: OpenCount, places: Iterable[CountedPlace]) -> dict[str, Any]:
    """The record of the count without its signature: what the sheet is filled with."""
    return {
        "kind": count.kind,
        "as_of": count.as_of.isoformat(),
        "count_number": str(count.number),
        "rows": [row_of(place) for place in places],
    }
