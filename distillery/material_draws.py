"""Materials drawn from their bins: the row that names a lot, and the movements that use it up."""

from collections.abc import Iterable
from typing import Any

from django.core.exceptions import ValidationError

from distillery.forms import LotField, Part, TextField, VesselField
from distillery.plans import place
from ledger import units
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Lot, Vessel
from ledger.plan import Leg, Place
from ledger.quantities import amount_from_book, amount_to_book

UNIT_KINDS = {"lb": "weight", "g": "small_weight", "gal": "volume", "each": "count"}


class DrawPart(Part):
    """A material lot and how much of it was used, in the unit the lot is counted in.

    In a record: ``{"lot": "G-1", "quantity": "1,400 lb"}``, and ``"vessel"`` where it lies in
    several bins.
    """

    lot = LotField("material", label="Lot")
    quantity = TextField(required=True, label="Quantity, like 700 lb or 500 g")
    vessel = VesselField("bin", "tank", "tote", required=False, label="From, if in several bins")

    def clean(self) -> dict[str, Any]:
        """The quantity as the book's whole number, under ``amount``."""
        data = super().clean() or {}
        lot, typed = data.get("lot"), data.get("quantity")
        if lot and typed:
            try:
                number = units.parse(typed, UNIT_KINDS[lot.unit])
            except units.UnitError as error:
                raise ValidationError({"quantity": str(error)}) from error
            data["amount"] = amount_to_book(number, lot.unit)
            if not data["amount"]:
                raise ValidationError({"quantity": "Give more than nothing, like 700 lb."})
        return data


def told(lot: Lot, amount: int) -> str:
    """``1,400.00 lb Corn (G-1)``."""
    return f"{amount_from_book(amount, lot.unit):,f} {lot.unit} {lot.name} ({lot.code})"


def _bin(look: Look, row: dict[str, Any], wanted: int, field: str) -> Held:
    """Where the lot is taken from: the named vessel, else the first that has enough."""
    lot, vessel = row["lot"], row["vessel"]
    found = look.of_lot(lot.code, "materials")
    if vessel is not None:
        found = [held for held in found if held.vessel.code == vessel.code]
    else:
        # What lies in a still's basket is taken by its charge alone.
        found = [held for held in found if held.vessel.kind != Vessel.Kind.STILL]
    if not found:
        where = f" in {vessel.code}" if vessel else ""
        raise BadFact(f"The book has nothing left of lot {lot.code}{where} then.", field=field)
    enough = [held for held in found if held.amount >= wanted]
    return (enough or found)[0]


def draw_legs(
    look: Look, rows: Iterable[dict[str, Any]], *, into: str, purpose: str, field: str
) -> tuple[Leg, ...]:
    """One movement a row from its bin into lot *into*, across the ``mashed`` boundary.

    So the material's lot is a parent of *into* and no pounds or grams linger in it. Raises
    BadFact, beside *field*, for a lot the book no longer has.
    """
    legs, drawn = [], dict[Place, int]()
    for row in rows:
        lot = row["lot"].code
        before = sum(amount for at, amount in drawn.items() if at.lot == lot)
        at = place(_bin(look, row, row["amount"] + before, field))
        drawn[at] = drawn.get(at, 0) + row["amount"]
        legs.append(Leg(at, Place("mashed", into), purpose, row["amount"]))
    return tuple(legs)
