"""How much of a material lot an act is about: what a person typed, in the lot's own unit."""

from typing import Any

from distillery.forms import LotField, RecordForm, TextField, VesselField
from distillery.material_draws import UNIT_KINDS
from ledger import units
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Lot
from ledger.quantities import COUNTED, amount_to_book

HOLDERS = ("bin", "tank", "tote", "still")


class OfMaterialForm(RecordForm):
    """A material lot where it lies, and how much of it."""

    vessel = VesselField(*HOLDERS, label="From")
    lot = LotField("material", required=False, label="Lot, where several lie there")
    quantity = TextField(label="Quantity, like 700 lb, empty for all of it")


def amount_typed(text: str, lot: Lot, *, field: str = "quantity") -> int:
    """*text* in the book's whole number of the lot's unit. Raises BadFact beside *field*."""
    if lot.unit not in UNIT_KINDS:
        raise BadFact(f"Lot {lot.code} is counted in {lot.unit}, not as a material.", field=field)
    try:
        amount = amount_to_book(units.parse(text, UNIT_KINDS[lot.unit]), lot.unit)
    except units.UnitError as error:
        raise BadFact(str(error), field=field) from error
    if not amount:
        raise BadFact("Give more than nothing, like 700 lb.", field=field)
    return amount


def taken(fields: dict[str, Any], look: Look) -> tuple[Held, int]:
    """The holding an OfMaterialForm is about, and the amount of it: all when nothing is typed.

    Raises BadFact when the vessel holds no such lot, or several and none is named, or pieces.
    """
    code, lot = fields["vessel"].code, fields["lot"]
    found = look.in_account(code, "materials")
    if lot is not None:
        found = [held for held in found if held.lot.code == lot.code]
    if not found:
        what = f"of lot {lot.code} " if lot else ""
        raise BadFact(f"The book has no material {what}in {code} at that moment.", field="vessel")
    if len(found) > 1:
        codes = ", ".join(held.lot.code for held in found)
        raise BadFact(f"{code} holds several lots ({codes}). Name the lot.", field="lot")
    held = found[0]
    if held.lot.unit in COUNTED:
        raise BadFact(
            f"Lot {held.lot.code} is counted by the piece. Record it under “Scrap bottles, "
            "closures or labels”, which keeps the record of 27 CFR 19.603.",
            field="lot",
        )
    return held, amount_typed(fields["quantity"], held.lot) if fields["quantity"] else held.amount
