"""Take a sample for a laboratory or for research (27 CFR 19.434, 19.435, 19.616)."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottles import bottles_worth
from distillery.drawing import BULK, share
from distillery.forms import (
    ChoiceField,
    LotField,
    QuantityField,
    RecordForm,
    TextField,
    VesselField,
)
from distillery.operations.base import Fields, Operation
from distillery.plans import one_of, pg, place
from ledger.errors import BadFact
from ledger.gauging import half_up
from ledger.looking import Held
from ledger.plan import Leg, Place, Plan
from ledger.quantities import to_hundredths

PURPOSES = [
    ("laboratory", "laboratory analysis"),
    ("research", "research, development or testing"),
    ("government", "asked for by government"),
    ("customer", "quality sample for a buyer under an agreement, 1 liter at most"),
]
ACCOUNTS = ("storage", "processing", "finished")


class SampleForm(RecordForm):
    """From where, how much, why, and who has it now."""

    vessel = VesselField(label="From")
    lot = LotField(required=False, label="Lot, where the vessel holds several")
    volume = QuantityField("volume", unit="mL", required=False, above=1, label="Volume, in bulk")
    bottles = QuantityField("count", required=False, above=1, label="Bottles")
    purpose = ChoiceField(choices=PURPOSES, label="For")
    disposition = TextField(required=True, label="What became of it")
    recipient = TextField(label="Outside recipient, name and address")

    def clean(self) -> dict[str, Any]:
        """A volume or bottles, one of them."""
        data = super().clean() or {}
        if not self.errors and (data["volume"] is None) == (data["bottles"] is None):
            raise ValidationError({"volume": "Give a volume like 200 mL, or a count of bottles."})
        return data


class Sample(Operation):
    """A small pull needs no gauge: its volume at the book's strength is what it is worth.

    Tastings by the public and market work are not among the purposes: such spirits are removed
    on determination of tax first (27 CFR 19.434(d)(1)).
    """

    slug = "sample"
    title = "Take a sample"
    group = "Remove"
    form = SampleForm
    hazards = ("ethanol_vapour",)
    kinds = (*BULK, "barrel", "store")
    accounts = ACCOUNTS
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """Out of the account, free of tax, for research or testing."""
        code, lot = fields["vessel"].code, fields["lot"]
        found = look.in_account(code, *ACCOUNTS)
        if lot:
            found = [held for held in found if held.lot.code == lot.code]
        elif len(found) > 1:
            raise BadFact(f"{code} holds several lots. Name the lot.", field="lot")
        held = one_of(found, code, field="vessel")
        amount, wine, proof = _taken(held, fields)
        leg = Leg(
            place(held), Place("research", held.lot.code), "sample", amount, wine, proof,
            proof=held.proof_tenths,
        )  # fmt: skip
        told = f"{pg(proof)} of lot {held.lot.code}: {dict(PURPOSES)[fields['purpose']]}."
        return Plan((leg,), lines=(told, "Tastings by the public are removed with tax instead."))


def _taken(held: Held, fields: Fields) -> tuple[int, int, int]:
    """(bottles, wine, proof) of the sample in the book's integers."""
    if fields["bottles"] is not None:
        if held.account != "finished":
            raise BadFact(f"{held.vessel.code} holds bulk. Give a volume.", field="bottles")
        bottles = int(fields["bottles"])
        return (bottles, *bottles_worth(held, bottles))
    if held.account == "finished":
        raise BadFact(f"{held.vessel.code} holds bottles. Give their count.", field="volume")
    wine = to_hundredths(half_up(fields["volume"], "0.01"))
    if not wine:
        raise BadFact(
            "That is under a hundredth of a gallon (38 mL); add it to the month's other pulls.",
            field="volume",
        )
    return 0, wine, share(held, wine)
