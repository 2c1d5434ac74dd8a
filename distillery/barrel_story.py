"""A barrel's whole life in the order it happened, and each gauge of what was in it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from distillery.barrel_spells import Spell
from distillery.models import BarrelAct
from distillery.plans import pg, wg
from distillery.tables import operation_title
from ledger.accounts import SPIRITS
from ledger.models import Movement, Vessel


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened: when, what it is called, the words, and the entry it is of."""

    at: datetime
    title: str
    words: str
    number: int


@dataclass(frozen=True, slots=True)
class Reading:
    """What a gauge or a sample found; hundredths of a gallon, tenths of a degree of proof."""

    at: datetime
    title: str
    wine: int | None
    proof: int | None
    proof_gallons: int | None
    of_fill: str
    number: int


def acts_of(vessel: Vessel) -> list[BarrelAct]:
    """What was done to *vessel* and not taken back, oldest first, in one query."""
    rows = BarrelAct.objects.filter(vessel=vessel, is_void=False).select_related("entry")
    return list(rows.order_by("at", "pk"))


def moves_of(vessel: Vessel) -> list[Movement]:
    """The movements of spirits in and out, what was taken back left out, oldest first."""
    rows = Movement.objects.filter(Q(from_vessel=vessel) | Q(to_vessel=vessel))
    rows = rows.filter(entry__reversed_by=None, entry__reverses=None)
    rows = rows.select_related("entry", "from_lot", "to_lot", "from_vessel", "to_vessel")
    return [row for row in rows.order_by("at", "pk") if _is_spirits(row)]


def _is_spirits(row: Movement) -> bool:
    return row.from_account in SPIRITS or row.to_account in SPIRITS


def events_of(vessel: Vessel, acts: Iterable[BarrelAct], moves: Iterable[Movement]) -> list[Event]:
    """Acts and movements together, newest first."""
    told = [
        Event(one.at, one.get_kind_display().capitalize(), act_words(one), one.entry.number)
        for one in acts
    ]
    told += [
        Event(row.at, operation_title(row.entry.operation), move_words(row, vessel),
              row.entry.number)
        for row in moves
    ]  # fmt: skip
    return sorted(told, key=lambda one: (one.at, one.number), reverse=True)


def act_words(act: BarrelAct) -> str:
    """Place, words and weights of an act."""
    weights = [
        f"{name} {value.normalize():f} lb"
        for name, value in (("gross", act.gross_lb), ("empty weight", act.tare_lb))
        if value is not None
    ]
    found = [f"{act.proof / 10:.1f} proof"] if act.proof is not None else []
    if act.proof_gallons is not None:
        found.append(pg(act.proof_gallons))
    return ", ".join(part for part in (act.place, act.words, *weights, *found) if part)


def move_words(row: Movement, vessel: Vessel) -> str:
    """``10.00 gal, 11.80 PG in from S-1, lot 26A30`` or the way out."""
    comes, goes = row.to_vessel_id == vessel.pk, row.from_vessel_id == vessel.pk
    amount = f"{wg(row.wine_gallons)}, {pg(row.proof_gallons)}"
    lot = row.to_lot if comes else row.from_lot
    code = f", lot {lot.code}" if lot else ""
    if comes and goes:
        return f"{amount} stay, now lot {row.to_lot.code if row.to_lot else ''}"
    other = row.from_vessel if comes else row.to_vessel
    account = row.from_account if comes else row.to_account
    where = other.code if other else account.replace("_", " ")
    return f"{amount} {'in from' if comes else 'out to'} {where}{code}"


def readings_of(
    spells: Iterable[Spell], acts: Iterable[BarrelAct], moves: Iterable[Movement], vessel: Vessel
) -> list[Reading]:
    """Every gauge and sample, oldest first, against the fill of its spell."""
    spells = list(spells)
    found = [
        Reading(one.start, "Filled", one.filled_wine, one.proof, one.filled, "", one.entry)
        for one in spells
    ]
    found += [
        Reading(one.at, one.get_kind_display().capitalize(), one.wine_gallons, one.proof,
                one.proof_gallons, _share(one.proof_gallons, one.at, spells), one.entry.number)
        for one in acts
        if one.proof is not None
    ]  # fmt: skip
    found += [
        Reading(row.at, "Drawn", row.wine_gallons, row.proof, row.proof_gallons,
                _share(row.proof_gallons, row.at, spells), row.entry.number)
        for row in moves
        if row.from_vessel_id == vessel.pk and row.to_vessel_id and row.proof is not None
        and row.to_vessel_id != vessel.pk
    ]  # fmt: skip
    return sorted(found, key=lambda one: (one.at, one.number))


def _share(proof_gallons: int | None, at: datetime, spells: list[Spell]) -> str:
    """Per cent of what its spell was filled with."""
    spell = next((one for one in reversed(spells) if one.start <= at), None)
    if proof_gallons is None or spell is None or not spell.filled:
        return ""
    return f"{proof_gallons * 100 / spell.filled:.1f}"
