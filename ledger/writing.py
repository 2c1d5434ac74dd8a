"""Writing a checked plan: entry, lots, movements, and what is kept beside them."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cache
from typing import Any

from django.db import connection
from django.db.models import Q

from ledger.checking import check_act, check_columns
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Descent, Designation, Entry, Holding, Lot, Movement, Period, Vessel
from ledger.moments import sum_deltas
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.seal import instant, lot_facts, seal, sealing_text


@dataclass(frozen=True, slots=True)
class Act:
    """Who did what, when, as filled in: everything of an entry but its movements."""

    operation: str
    happened_at: datetime
    by: str
    key: str
    form: str
    reason: str = ""
    reverses: Entry | None = None
    corrects: Entry | None = None


def numbered(plan: Plan, number: int) -> Plan:
    """*plan* with ``{n}`` in its codes replaced by the entry's number."""

    def fill(code: str) -> str:
        return code.replace("{n}", str(number))

    def at(place: Place) -> Place:
        return replace(place, lot=fill(place.lot))

    return replace(
        plan,
        lots=tuple(replace(lot, code=fill(lot.code)) for lot in plan.lots),
        legs=tuple(replace(leg, origin=at(leg.origin), to=at(leg.to)) for leg in plan.legs),
        document=fill(plan.document),
    )


def _facts(row: NewLot | Designation) -> tuple[object, ...]:
    return tuple(getattr(row, name) for name in Designation.FACTS)


def designations_for(lots: Iterable[NewLot]) -> dict[tuple[object, ...], Designation]:
    """The interned rows for what *lots* count as, by their facts; made where they are new."""
    wanted = {_facts(lot) for lot in lots}
    if not wanted:
        return {}
    match = Q()
    for facts in wanted:
        match |= Q(**dict(zip(Designation.FACTS, facts, strict=True)))
    found = {_facts(row): row for row in Designation.objects.filter(match)}
    for facts in wanted - found.keys():
        # Shared by all premises, so another premises' posting may make the same one meanwhile.
        row: dict[str, Any] = dict(zip(Designation.FACTS, facts, strict=True))
        found[facts], _ = Designation.objects.get_or_create(**row)
    return found


def _write_lots(plan: Plan, look: Look, entry: Entry) -> list[Lot]:
    designations = designations_for(plan.lots)
    return [
        Lot(
            premises=look.premises,
            code=new.code,
            opened_by=entry,
            designation=designations[_facts(new)],
            **{name: getattr(new, name) for name in Lot.FACTS},
        )
        for new in plan.lots
    ]


def _side(look: Look, place: Place) -> tuple[Lot | None, Vessel | None]:
    lot = look.lots[place.lot] if place.lot else None
    return lot, look.vessels[place.vessel] if place.vessel else None


def _movement(leg: Leg, index: int, look: Look, entry: Entry) -> Movement:
    from_lot, from_vessel = _side(look, leg.origin)
    to_lot, to_vessel = _side(look, leg.to)
    before = from_lot.designation if from_lot else None
    after = to_lot.designation if to_lot else None
    check_columns(leg, before, after)
    if from_lot and to_lot and from_lot.pk > to_lot.pk:
        raise BadFact(
            f"{to_lot} is older than {from_lot}. What is poured together opens a new lot."
        )
    return Movement(
        entry=entry,
        leg=index,
        period=entry.period,
        amends=entry.amends,
        at=entry.happened_at,
        from_account=leg.origin.account,
        from_lot=from_lot,
        from_vessel=from_vessel,
        to_account=leg.to.account,
        to_lot=to_lot,
        to_vessel=to_vessel,
        purpose=leg.purpose,
        amount=leg.amount,
        wine_gallons=leg.wine_gallons,
        proof_gallons=leg.proof_gallons,
        proof=leg.proof,
        from_designation=before,
        to_designation=after,
        from_vessel_kind=from_vessel.kind if from_vessel else "",
        to_vessel_kind=to_vessel.kind if to_vessel else "",
        cooperage=leg.cooperage,
        taxed=leg.taxed,
    )


def leg_facts(movement: Movement, lots: dict[int, str], vessels: dict[int, str]) -> list[object]:
    """One movement as codes and integers, in sealing order."""
    return [
        movement.from_account,
        lots.get(movement.from_lot_id, ""),  # type: ignore[arg-type]
        vessels.get(movement.from_vessel_id, ""),  # type: ignore[arg-type]
        movement.to_account,
        lots.get(movement.to_lot_id, ""),  # type: ignore[arg-type]
        vessels.get(movement.to_vessel_id, ""),  # type: ignore[arg-type]
        movement.purpose,
        movement.amount,
        movement.wine_gallons,
        movement.proof_gallons,
        movement.proof,
        movement.cooperage,
        movement.taxed,
    ]


def head_facts(entry: Entry, registry: str) -> list[object]:
    """An entry's own facts in sealing order."""
    return [
        registry,
        entry.number,
        entry.key,
        entry.operation,
        instant(entry.happened_at),
        instant(entry.recorded_at),
        entry.period.month.isoformat(),
        entry.amends.month.isoformat() if entry.amends else None,
        entry.by,
        entry.form,
        entry.document,
        entry.reverses.number if entry.reverses else None,
        entry.corrects.number if entry.corrects else None,
        entry.reason,
    ]


def deltas_of(legs: Iterable[Leg]) -> dict[tuple[str, str, str], list[int]]:
    """What *legs* add to each (account, lot code, vessel code)."""
    return sum_deltas(
        (leg.origin, leg.to, leg.amount, leg.wine_gallons, leg.proof_gallons) for leg in legs
    )


def keep_holdings(look: Look, deltas: dict[tuple[str, str, str], list[int]], at: datetime) -> None:
    """Add *deltas* to the kept holdings; the look knows their lots and vessels."""
    known = look.holdings(deltas)
    rows = []
    for key, (amount, wine, proof) in deltas.items():
        account, lot, vessel = key
        row = known.get(key) or Holding(
            premises=look.premises,
            lot=look.lots[lot],
            vessel=look.vessels[vessel],
            account=account,
            since=at,
            last_at=at,
        )
        if not (row.amount or row.wine_gallons or row.proof_gallons):
            row.since = at
        row.amount += amount
        row.wine_gallons += wine
        row.proof_gallons += proof
        row.last_at = max(row.last_at, at)
        row.pk = None  # one statement for new and known rows alike, told apart by the key
        rows.append(row)
    Holding.objects.bulk_create(
        rows,
        update_conflicts=True,
        unique_fields=["lot", "vessel", "account"],
        update_fields=["amount", "wine_gallons", "proof_gallons", "since", "last_at"],
    )


def descents_of(movements: Iterable[Movement]) -> dict[tuple[int, int], list[int]]:
    """(parent lot, child lot) sums of *movements*: where the two lots of a leg differ."""
    sums: dict[tuple[int, int], list[int]] = defaultdict(lambda: [0, 0, 0])
    for row in movements:
        if row.from_lot_id and row.to_lot_id and row.from_lot_id != row.to_lot_id:
            total = sums[(row.from_lot_id, row.to_lot_id)]
            total[0] += row.amount
            total[1] += row.wine_gallons
            total[2] += row.proof_gallons
    return sums


@cache
def _descent_sql(rows: int) -> str:
    table = Descent._meta.db_table
    values = ", ".join(["(%s, %s, %s, %s, %s)"] * rows)
    sums = ", ".join(
        f"{name} = {table}.{name} + excluded.{name}"
        for name in ("amount", "wine_gallons", "proof_gallons")
    )
    return (
        f"INSERT INTO {table} (parent_id, child_id, amount, wine_gallons, proof_gallons) "  # noqa: S608
        f"VALUES {values} ON CONFLICT (child_id, parent_id) DO UPDATE SET {sums}"
    )


def _keep_descents(movements: list[Movement]) -> None:
    """Add this entry's pairs in one statement; Django's upsert cannot add to what is there."""
    pairs = [[*pair, *sums] for pair, sums in descents_of(movements).items()]
    for start in range(0, len(pairs), 150):  # SQLite takes 999 variables a statement
        part = pairs[start : start + 150]
        with connection.cursor() as cursor:
            cursor.execute(_descent_sql(len(part)), [value for row in part for value in row])


def write(
    plan: Plan,
    look: Look,
    act: Act,
    *,
    period: Period,
    amends: Period | None,
    recorded_at: datetime,
    keeps_holdings: bool = True,
) -> Entry:
    """Write *plan* as the next entry of the locked premises; returns the entry.

    Without *keeps_holdings* the caller settles the holdings for several entries at once.
    """
    premises = look.premises
    number = premises.last_number + 1
    plan = numbered(plan, number)
    check_act(act, plan)
    entry = Entry(
        premises=premises,
        number=number,
        operation=act.operation,
        happened_at=act.happened_at,
        recorded_at=recorded_at,
        period=period,
        amends=amends,
        by=act.by,
        key=act.key,
        form=act.form,
        document=plan.document,
        reverses=act.reverses,
        corrects=act.corrects,
        reason=act.reason,
    )
    lots = _write_lots(plan, look, entry)
    entry = _write_rows(plan, look, entry, lots)
    if plan.legs and keeps_holdings:
        keep_holdings(look, deltas_of(plan.legs), entry.happened_at)
    return entry


def _write_rows(plan: Plan, look: Look, entry: Entry, lots: list[Lot]) -> Entry:
    premises, new = look.premises, {lot.code for lot in lots}
    places = [place for leg in plan.legs for place in (leg.origin, leg.to)]
    look.fetch_vessels([place.vessel for place in places if place.vessel])
    look.fetch_lots([place.lot for place in places if place.lot and place.lot not in new])
    look.opened(lots)
    entry.seal = _seal_before_ids(plan, look, entry, lots)
    entry.save(force_insert=True)
    Lot.objects.bulk_create(lots)
    movements = [_movement(leg, index, look, entry) for index, leg in enumerate(plan.legs, 1)]
    if movements:
        Movement.objects.bulk_create(movements)
        _keep_descents(movements)
    premises.last_number, premises.last_seal = entry.number, entry.seal
    latest = premises.last_happened_at
    premises.last_happened_at = max(latest, entry.happened_at) if latest else entry.happened_at
    premises.save(update_fields=["last_number", "last_seal", "last_happened_at"])
    return entry


def plan_facts(leg: Leg) -> list[object]:
    """One leg of a plan as codes and integers; equals ``leg_facts`` of its movement."""
    origin, to = leg.origin, leg.to
    return [
        *(origin.account, origin.lot, origin.vessel),
        *(to.account, to.lot, to.vessel),
        *(leg.purpose, leg.amount, leg.wine_gallons, leg.proof_gallons, leg.proof),
        *(leg.cooperage, leg.taxed),
    ]


def _seal_before_ids(plan: Plan, look: Look, entry: Entry, lots: list[Lot]) -> str:
    head = head_facts(entry, look.premises.registry)
    text = sealing_text(
        head, [lot_facts(lot) for lot in lots], [plan_facts(leg) for leg in plan.legs]
    )
    return seal(look.premises.last_seal, text)
