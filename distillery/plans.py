"""The pieces that plans are built from: legs between places, differences, slips."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from ledger.errors import BadFact
from ledger.gauging import Gauge
from ledger.looking import Held, Look
from ledger.models import Designation, Lot
from ledger.plan import Leg, NewLot, Place, Question, Slip
from ledger.quantities import to_decimal, to_hundredths


def tenths(proof: Decimal | int | str) -> int:
    """Proof in the book's tenths of a degree."""
    return to_hundredths(proof) // 10


def gallons(gauge: Gauge) -> tuple[int, int]:
    """(wine gallons, proof gallons) of *gauge* in the book's hundredths."""
    return to_hundredths(gauge.wine_gallons), to_hundredths(gauge.proof_gallons)


def place(held: Held) -> Place:
    """Where *held* stands."""
    return Place(held.account, held.lot.code, held.vessel.code)


def move(held: Held, to: Place, purpose: str, **options: Any) -> Leg:
    """All of *held* to another place."""
    return Leg(
        place(held), to, purpose, held.amount, held.wine_gallons, held.proof_gallons, **options
    )


def take(
    held: Held, to: Place, purpose: str, wine: int, proof_gallons: int, /, **options: Any
) -> Leg:
    """*wine* and *proof_gallons* hundredths of *held* to another place."""
    return Leg(place(held), to, purpose, 0, wine, proof_gallons, **options)


def loss_or_gain(
    at: Place, *, wine: int, proof: int, purpose: str, amount: int = 0
) -> tuple[Leg, ...]:
    """The legs that bring a place from the book to the gauge.

    *wine*, *proof*, *amount*: gauge less book. Proof gallons go to loss or come from gain; wine
    gallons go along when they fall or rise with them, else they are contraction.
    """
    legs = []
    if proof < 0 or amount < 0:
        less = (max(0, -amount), max(0, -wine), max(0, -proof))
        legs.append(Leg(at, Place("loss", at.lot), purpose, *less))
        wine = max(0, wine)
    elif proof > 0 or amount > 0:
        more = (max(0, amount), max(0, wine), max(0, proof))
        legs.append(Leg(Place("gain", at.lot), at, purpose, *more))
        wine = min(0, wine)
    if wine < 0:
        legs.append(Leg(at, Place("contraction", at.lot), "reduce", 0, -wine))
    elif wine > 0:
        legs.append(Leg(Place("contraction", at.lot), at, "reduce", 0, wine))
    return tuple(legs)


def poured_to(
    gauge: Gauge | None, at: Place, *, wine: int, proof: int, purpose: str
) -> tuple[tuple[Leg, ...], int]:
    """The legs from what was poured together to its gauge, and by how much the gauge is above it.

    *wine*, *proof*: the sum by the book. What only adds volume, like sugar, has no proof gallons.
    """
    if gauge is None:
        return (), 0
    has_wine, has_proof = gallons(gauge)
    legs = loss_or_gain(at, wine=has_wine - wine, proof=has_proof - proof, purpose=purpose)
    return legs, has_proof - proof


def found_by_gauge(held: Held, gauge: Gauge, purpose: str) -> tuple[Leg, ...]:
    """The legs that bring *held* to what *gauge* found."""
    wine, proof = gallons(gauge)
    return loss_or_gain(
        place(held), wine=wine - held.wine_gallons, proof=proof - held.proof_gallons,
        purpose=purpose,
    )  # fmt: skip


def slip(gauge: Gauge, title: str = "Gauge") -> Slip:
    """*gauge* as the slip a person can follow."""
    result = (
        ("wine gallons at 60 °F", f"{gauge.wine_gallons:f}"),
        ("proof", f"{gauge.proof:f}"),
        ("proof gallons", f"{gauge.proof_gallons:f}"),
    )
    return Slip(title, gauge.readings, gauge.steps, result)


def lot_like(lot: Lot, code: str, **changes: Any) -> NewLot:
    """A new lot with the facts of *lot* and some of them changed."""
    facts: dict[str, Any] = {name: getattr(lot, name) for name in Lot.FACTS}
    facts |= {name: getattr(lot.designation, name) for name in Designation.FACTS}
    return NewLot(code=code, **{**facts, **changes})


def pg(hundredths: int) -> str:
    """Proof gallons for a sentence: ``41.40 PG``."""
    return f"{to_decimal(hundredths):,f} PG"


def wg(hundredths: int) -> str:
    """Gallons for a sentence: ``53.00 gal``."""
    return f"{to_decimal(hundredths):,f} gal"


def total(held: Iterable[Held]) -> tuple[int, int]:
    """Summed (wine gallons, proof gallons)."""
    rows = list(held)
    return sum(row.wine_gallons for row in rows), sum(row.proof_gallons for row in rows)


def one_of(rows: Iterable[Held], what: str, *, field: str = "") -> Held:
    """The single row; BadFact says that *what* holds nothing, or several lots."""
    found = list(rows)
    if len(found) == 1:
        return found[0]
    if not found:
        raise BadFact(f"The book has nothing to take in {what} at that moment.", field=field)
    codes = ", ".join(row.lot.code for row in found)
    raise BadFact(f"{what} holds several lots ({codes}).", field=field)


def room_question(vessel: Any, wine: int, look: Look) -> tuple[Question, ...]:
    """A question when *wine* hundredths of a gallon would stand in *vessel* above its size."""
    del look
    sheet = getattr(vessel, "sheet", None)
    size = getattr(sheet, "capacity_gal", None)
    if size is None or wine <= to_hundredths(size):
        return ()
    text = (
        f"{vessel.code} is on the plant's list with {size} gal, and this makes {wg(wine)}. "
        "Keep it, and mend the vessel's size under Plant?"
    )
    return (Question("over-capacity", text),)
