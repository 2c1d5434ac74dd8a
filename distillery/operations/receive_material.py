"""Receive a material from its supplier (27 CFR 19.584(a), 19.581(f),(h),(i))."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.flavorings import alcohol
from distillery.forms import (
    CodeField,
    MaterialField,
    QuantityField,
    RecordForm,
    TextField,
    VesselField,
)
from distillery.operations.base import Fields, Operation
from distillery.plans import pg
from ledger import units
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.quantities import amount_from_book, amount_to_book

UNIT_KINDS = {"lb": "weight", "g": "small_weight", "gal": "volume", "each": "count"}


class ReceiveMaterialForm(RecordForm):
    """What came, how much, from whom, and where it was put."""

    material = MaterialField(label="Material")
    quantity = TextField(required=True, label="Quantity, like 2,000 lb, or a count")
    vessel = VesselField("bin", "tank", "tote", "store", label="Put into")
    lot = CodeField(label="Our lot code, empty for the next number")
    supplier = TextField(required=True, label="Supplier")
    supplier_address = TextField(label="Supplier's address")
    supplier_lot = TextField(label="Supplier's lot")
    moisture = QuantityField("percent", required=False, label="Moisture, %")
    proof = QuantityField(
        "proof", required=False, above=1, label="Proof, of a flavoring with alcohol"
    )
    formula = TextField(max_length=40, label="Formula number of the flavoring")

    def clean(self) -> dict[str, Any]:
        """The quantity in the material's own unit."""
        data = super().clean() or {}
        material = data.get("material")
        if material and data.get("quantity"):
            kind = UNIT_KINDS[material.unit]
            try:
                number = units.parse(data["quantity"], kind)
            except units.UnitError as error:
                raise ValidationError({"quantity": str(error)}) from error
            if not number:
                raise ValidationError({"quantity": "Give more than nothing, like 2,000 lb."})
            data["quantity"] = number
        if material and data.get("proof") and material.unit != "gal":
            raise ValidationError(
                {"proof": f"{material.name} is counted in {material.unit}; alcohol in gallons."}
            )
        return data


class ReceiveMaterial(Operation):
    """Grain, yeast, botanicals, empty bottles: what a supplier brought, into a bin."""

    slug = "receive-material"
    title = "Receive a material"
    group = "Materials and mash"
    form = ReceiveMaterialForm
    hazards = ("lifting", "grain_dust")
    kinds = ("bin",)
    accounts = ("", "materials")
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """One new lot, one movement from the supplier."""
        material = fields["material"]
        code = fields["lot"] or "G-{n}"
        lot = NewLot(
            code, "material", material.unit, material.name,
            material=material.kind, producer=fields["supplier"], product=material.code,
            formula=fields["formula"],
        )  # fmt: skip
        amount = amount_to_book(fields["quantity"], material.unit)
        to = Place("materials", code, fields["vessel"].code)
        wine, proof = alcohol(amount, fields["proof"])
        leg = Leg(Place("supplier", code), to, "receive", amount, wine, proof)
        told = f"{amount_from_book(amount, material.unit):,f} {material.unit} {material.name}"
        strong = f", {pg(proof)} of alcohol" if proof else ""
        return Plan((leg,), (lot,), lines=(f"{told}{strong} from {fields['supplier']}.",))
