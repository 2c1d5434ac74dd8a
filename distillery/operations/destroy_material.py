"""Destroy or scrap a material that is weighed or measured (27 CFR 19.584(a), (b))."""

from typing import Any

from distillery.flavorings import alcohol_in
from distillery.forms import ChoiceField, TextField
from distillery.material_amounts import HOLDERS, OfMaterialForm, taken
from distillery.material_draws import told
from distillery.operations.base import Fields, Operation
from distillery.plans import place
from ledger.plan import Leg, Place, Plan

FATES = [
    ("destroyed", "destroyed"),
    ("scrapped", "scrapped as unfit for use"),
    ("fed", "given away as feed or compost"),
]
# Where each fate leads in the book: (account, purpose).
LEADS = {
    "destroyed": ("destroyed", "destroy"),
    "scrapped": ("destroyed", "destroy"),
    "fed": ("residue", "destroy"),
}


class DestroyMaterialForm(OfMaterialForm):
    """What was done away with, how, and by whom."""

    fate = ChoiceField(choices=FATES, label="What became of it")
    manner = TextField(label="How, like burned or crushed")
    place = TextField(label="Where it was done")
    person = TextField(max_length=120, label="Who did or watched it")
    person_title = TextField(max_length=120, label="Title of that person")


class DestroyMaterial(Operation):
    """Spoiled grain, stale botanicals, old backset leave the bin for good."""

    slug = "destroy-material"
    title = "Destroy a material"
    group = "Materials and mash"
    form = DestroyMaterialForm
    hazards = ("lifting", "grain_dust")
    kinds = HOLDERS
    accounts = ("materials",)
    vessel_field = "vessel"
    is_rare = True

    def plan(self, fields: Fields, look: Any) -> Plan:
        """One movement out of the materials."""
        held, amount = taken(fields, look)
        account, purpose = LEADS[fields["fate"]]
        alcohol = alcohol_in(held, amount)
        if alcohol[1]:
            account = "destroyed"  # alcohol does not leave as feed
        leg = Leg(place(held), Place(account, held.lot.code), purpose, amount, *alcohol)
        words = dict(FATES)[fields["fate"]]
        how = f", {fields['manner']}" if fields["manner"] else ""
        return Plan((leg,), lines=(f"{told(held.lot, amount)}: {words}{how}.",))
