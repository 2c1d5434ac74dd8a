"""Wash or other distilling material destroyed or removed before distillation (27 CFR 19.584)."""

from typing import Any

from distillery.forms import ChoiceField, QuantityField, RecordForm, TextField, VesselField
from distillery.operations.base import Fields, Operation
from distillery.plans import place, wg
from distillery.wash import HOLDERS, one_wash
from ledger.errors import BadFact
from ledger.plan import Leg, Place, Plan
from ledger.quantities import to_hundredths

FATES = [
    ("destroyed", "destroyed"),
    ("lees", "lees thrown away"),
    ("fed", "given away as feed or compost"),
    ("removed", "removed to another plant or brewery"),
    ("returned", "sent back to where it came from"),
]
# Where each fate leads in the book: (account, purpose).
LEADS = {
    "destroyed": ("residue", "destroy"), "lees": ("residue", "destroy"),
    "fed": ("residue", "destroy"), "removed": ("other_plant", "ship"),
    "returned": ("supplier", "ship"),
}  # fmt: skip


class DestroyWashForm(RecordForm):
    """What left the fermenter undistilled, how, and to whom."""

    vessel = VesselField(*HOLDERS, label="From")
    volume = QuantityField("volume", required=False, above=1, label="Gallons, empty for all of it")
    fate = ChoiceField(choices=FATES, label="What became of it")
    manner = TextField(label="How, like into the sewer under permit")
    why = TextField(label="Why, like infected")
    consignee = TextField(max_length=120, label="To: name")
    consignee_address = TextField(label="To: address")
    consignee_number = TextField(max_length=40, label="To: registry or permit number")
    person = TextField(max_length=120, label="Who did or watched it")


class DestroyWash(Operation):
    """Gallons leave fermenting and never come to the still."""

    slug = "destroy-wash"
    title = "Destroy or remove wash"
    group = "Materials and mash"
    form = DestroyWashForm
    hazards = ("co2", "confined_space")
    kinds = HOLDERS
    accounts = ("fermenting",)
    vessel_field = "vessel"
    is_rare = True

    def plan(self, fields: Fields, look: Any) -> Plan:
        """One movement to residue, or to who took it."""
        held = one_wash(look, fields["vessel"].code, field="vessel")
        volume = fields["volume"]
        wine = held.wine_gallons if volume is None else to_hundredths(volume)
        account, purpose = LEADS[fields["fate"]]
        if fields["fate"] == "removed" and not fields["consignee"]:
            raise BadFact(
                "Name who took it: the record of material removed tells its consignee "
                "(27 CFR 19.581).",
                field="consignee",
            )
        leg = Leg(place(held), Place(account, held.lot.code), purpose, 0, wine)
        words = ", ".join(
            word for word in (dict(FATES)[fields["fate"]], fields["manner"], fields["consignee"])
            if word
        )  # fmt: skip
        told = f"{wg(wine)} of {held.lot.name} ({held.lot.code}): {words}."
        return Plan((leg,), document="DM-{n}", lines=(told,))
