"""The account of a batch on its slip: each ingredient with its record, the sum, gain or loss."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from django.db.models import prefetch_related_objects

from distillery.identity import Made
from distillery.models import BottlingRun
from distillery.plans import pg, wg
from distillery.pouring import facts_of
from distillery.standards import name_questions
from ledger.classes import CLASSES
from ledger.looking import Look
from ledger.models import Lot
from ledger.plan import Leg, NewLot, Question, Slip

# How what went in is told, by where it came from (27 CFR 19.598).
ORIGINS = {
    "storage": "dumped", "processing": "previously dumped", "finished": "bottles dumped",
    "materials": "flavoring", "other_plant": "received",
}  # fmt: skip


def serial_of(lot: Lot) -> str:
    """The serial number of the record that *lot* comes from: of its bottling, where it is one."""
    if lot.stage == "bottled":
        runs = BottlingRun.objects.filter(premises=lot.premises_id, lot_code=lot.code)
        if run := runs.filter(is_void=False).first():
            return run.serial
    return lot.opened_by.document or f"entry {lot.opened_by.number}"


def ingredients(legs: Iterable[Leg], batch: str) -> list[Leg]:
    """The legs that bring gallons into *batch* from another lot; water and gains left out."""
    return [
        leg
        for leg in legs
        if leg.to.lot == batch and leg.origin.lot != batch and leg.origin.account in ORIGINS
    ]


def parts_of(legs: Iterable[Leg], batch: str, look: Look) -> list[tuple[NewLot, int]]:
    """(facts of the lot, proof gallons in hundredths) of the spirits that go into *batch*."""
    return [
        (facts_of(look.lot(leg.origin.lot)), leg.proof_gallons)
        for leg in ingredients(legs, batch)
        if leg.origin.account != "materials" and leg.purpose != "mix_wine"
    ]


def batch_slip(look: Look, legs: Sequence[Leg], batch: str, notes: Iterable[str] = ()) -> Slip:
    """All alcoholic ingredients with vessel and record, their sum, and the gain or loss."""
    went_in = ingredients(legs, batch)
    named = {leg.origin.lot for leg in went_in} & look.lots.keys()
    prefetch_related_objects([look.lots[code] for code in named], "opened_by")
    readings = tuple((_what(leg, look), f"{wg(leg.wine_gallons)}, {_pg(leg)}") for leg in went_in)
    before = sum(leg.proof_gallons for leg in went_in if leg.origin.account == "processing")
    total = sum(leg.proof_gallons for leg in went_in)
    lost = sum(_of(legs, batch, "loss"))
    gained = sum(
        leg.proof_gallons for leg in legs if leg.origin.account == "gain" and leg.to.lot == batch
    )
    change = f"loss {pg(lost)}" if lost else f"gain {pg(gained)}" if gained else "none"
    result = (
        ("from earlier batches", pg(before)),
        ("all alcoholic ingredients", pg(total)),
        ("gain or loss", change),
    )
    return Slip("Batch", readings, tuple(notes), result)


def _of(legs: Iterable[Leg], batch: str, account: str) -> list[int]:
    return [
        leg.proof_gallons for leg in legs if leg.to.account == account and leg.origin.lot == batch
    ]


def _what(leg: Leg, look: Look) -> str:
    how = "wine" if leg.purpose == "mix_wine" else ORIGINS[leg.origin.account]
    lot = look.lots.get(leg.origin.lot)
    told = f"{lot.code} {lot.name}, record {serial_of(lot)}" if lot else leg.origin.lot
    return f"{how} from {leg.origin.vessel}: {told}"


def _pg(leg: Leg) -> str:
    if leg.purpose != "mix_wine" or not leg.wine_gallons:
        return pg(leg.proof_gallons)
    percent = Decimal(leg.proof_gallons * 50) / leg.wine_gallons
    return f"{pg(leg.proof_gallons)}, {percent:.1f} % alcohol by volume"


def shares(parts: Sequence[tuple[NewLot, int]]) -> dict[str, Decimal]:
    """Per cent of the proof gallons by what was blended, named as distillery.identity asks.

    *parts* are (lot, proof gallons in hundredths). Straight whisky counts under its own name,
    as straight, and as whisky (27 CFR 5.143 takes shares by proof gallons).
    """
    whole = sum(proof for _, proof in parts)
    found: dict[str, Decimal] = {}
    for lot, proof in parts if whole else ():
        for name in _names(lot):
            found[name] = found.get(name, Decimal(0)) + Decimal(proof * 100) / whole
    return found


def _names(lot: NewLot) -> set[str]:
    family = CLASSES[lot.class_code].family if lot.class_code else "other"
    words = lot.type_code.lower().replace("whiskey", "").replace("whisky", "").split()
    names = {" ".join(words) or family, family}
    if family in ("spirits", "vodka"):
        names.add("neutral")
    if "straight" in words:
        names.add("straight")
    return names


def share_questions(
    parts: Sequence[tuple[NewLot, int]], becomes: NewLot
) -> tuple[tuple[str, ...], tuple[Question, ...]]:
    """(what the shares are, what they make of the name): by proof gallons (27 CFR 5.143)."""
    kinds = {(lot.class_code, lot.type_code) for lot, _ in parts}
    if len(kinds) < 2:
        return (), ()
    totals: dict[str, int] = {}
    for lot, proof in parts:
        name = lot.type_code or (CLASSES[lot.class_code].title if lot.class_code else lot.name)
        totals[name] = totals.get(name, 0) + proof
    whole = sum(totals.values()) or 1
    told = ", ".join(f"{name} {value * 100 / whole:.1f} %" for name, value in totals.items())
    family = CLASSES[becomes.class_code].family if becomes.class_code else ""
    asked = name_questions(family, becomes.type_code, Made(parts=shares(parts)))
    return (f"By proof gallons: {told}.",), asked
