"""Send a material back to its supplier (27 CFR 19.584(a), 19.581(h), (i))."""

from typing import Any

from distillery.flavorings import alcohol_in
from distillery.forms import TextField
from distillery.material_amounts import OfMaterialForm, taken
from distillery.material_draws import told
from distillery.operations.base import Fields, Operation
from distillery.plans import place
from ledger.plan import Leg, Place, Plan


class ReturnMaterialForm(OfMaterialForm):
    """What goes back, to whom, and why."""

    supplier = TextField(max_length=120, label="Supplier, empty for the one it came from")
    supplier_address = TextField(label="Supplier's address")
    why = TextField(label="Why it goes back")
    papers = TextField(max_length=60, label="Credit note or delivery paper")


class ReturnMaterial(Operation):
    """Pounds, grams, gallons or pieces leave the bin for the supplier."""

    slug = "return-material"
    title = "Return a material"
    group = "Materials and mash"
    form = ReturnMaterialForm
    hazards = ("lifting", "grain_dust")
    kinds = ("bin", "tank", "tote")
    accounts = ("materials",)
    vessel_field = "vessel"
    is_rare = True

    def plan(self, fields: Fields, look: Any) -> Plan:
        """One movement to the supplier."""
        held, amount = taken(fields, look)
        leg = Leg(
            place(held),
            Place("supplier", held.lot.code),
            "return",
            amount,
            *alcohol_in(held, amount),
        )
        to = fields["supplier"] or held.lot.producer or "its supplier"
        return Plan((leg,), lines=(f"{told(held.lot, amount)} back to {to}.",))
