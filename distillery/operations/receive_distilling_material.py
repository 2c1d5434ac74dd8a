"""Receive beer or other distilling material from a brewery or plant (27 CFR 19.584, 19.581)."""

from decimal import Decimal
from typing import Any

from distillery.forms import (
    ChoiceField,
    CodeField,
    QuantityField,
    RecordForm,
    TextField,
    VesselField,
)
from distillery.operations.base import Fields, Operation
from distillery.plans import move, room_question, wg
from distillery.wash import HOLDERS, RECEIVED, wash_in
from ledger.plan import Leg, NewLot, Place, Plan, Question
from ledger.quantities import to_hundredths

KINDS = [
    ("beer", "beer"),
    ("wash", "wash"),
    ("wine", "wine as distilling material"),
    ("cider", "cider"),
    ("other", "other distilling material"),
]
TAXED = [
    ("untaxed", "not taxed: from a brewery, winery or plant without payment of tax"),
    ("tax-determined", "tax determined or paid"),
    ("not-taxable", "no tax applies"),
]
STRONG = Decimal(18)  # per cent; what ferments is weaker (common practice, no source)


class ReceiveDistillingMaterialForm(RecordForm):
    """What came, how much and how strong, from whom, and where it stands."""

    kind = ChoiceField(choices=KINDS, label="Kind")
    name = TextField(max_length=60, label="Name, like stout")
    volume = QuantityField("volume", above=1, label="Gallons received")
    abv = QuantityField("percent", label="Alcohol by volume, %")
    taxed = ChoiceField(choices=TAXED, label="Its tax")
    consignor = TextField(required=True, max_length=120, label="From: name")
    consignor_address = TextField(label="From: address")
    consignor_number = TextField(max_length=40, label="From: registry or permit number")
    made_of = TextField(max_length=20, label="Made of, like grain or fruit")
    papers = TextField(max_length=60, label="Invoice or delivery paper")
    into = VesselField(*HOLDERS, label="Into")
    lot = CodeField(label="Our lot code, empty for the next number")


class ReceiveDistillingMaterial(Operation):
    """Wine gallons of distilling material made elsewhere; its alcohol is gauged once distilled."""

    slug = RECEIVED
    title = "Receive beer or distilling material"
    group = "Materials and mash"
    form = ReceiveDistillingMaterialForm
    hazards = ("co2", "confined_space")
    kinds = ("fermenter",)
    accounts = ("", "fermenting")
    vessel_field = "into"
    is_rare = True

    def plan(self, fields: Fields, look: Any) -> Plan:
        """One wash lot; on a heel of wash it takes the heel along."""
        code, into = fields["lot"] or "W-{n}", fields["into"].code
        heel = wash_in(look, into, field="into")
        volume = to_hundredths(fields["volume"])
        origin = "supplier" if fields["taxed"] == "tax-determined" else "other_plant"
        what = fields["name"] or dict(KINDS)[fields["kind"]]
        lot = NewLot(
            code, "wash", "gal", f"{what[:1].upper()}{what[1:]} from {fields['consignor']}"[:80],
            material=fields["made_of"] or _material(fields["kind"]),
            producer=f"{fields['consignor']}, {fields['consignor_number']}".strip(", ")[:120],
        )  # fmt: skip
        to = Place("fermenting", code, into)
        came = Leg(Place(origin, code), to, "receive", 0, volume)
        wine = volume + sum(row.wine_gallons for row in heel)
        told = f"{wg(volume)} of {what} at {fields['abv']:f} % from {fields['consignor']}."
        return Plan(
            (*(move(row, to, "mingle") for row in heel), came), (lot,), document="DM-{n}",
            lines=(told,),
            questions=(*_strength(fields["abv"]), *room_question(fields["into"], wine, look)),
        )  # fmt: skip


def _material(kind: str) -> str:
    """What spirits of it count as made of (TTB F 5110.40 Part II), as far as the kind says it."""
    return {"beer": "grain", "wine": "fruit", "cider": "fruit"}.get(kind, "")


def _strength(abv: Decimal) -> tuple[Question, ...]:
    if abv <= STRONG:
        return ()
    text = f"{abv:f} % is strong for what was only fermented. Is it no spirits, and {abv:f} right?"
    return (Question("odd-strength", text),)
