"""Taxpaid spirits come back into bond: dumped at once and gauged (27 CFR 19.452)."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery import returns
from distillery.drawing import BULK
from distillery.forms import (
    ChoiceField,
    CodeField,
    GaugeField,
    MaterialField,
    QuantityField,
    RecordForm,
    TextField,
    VesselField,
    YesField,
)
from distillery.forms.past_lot_field import PastLotField
from distillery.kinds import band_field, class_of, distilled_at_field, family_field, type_field
from distillery.operations.base import Fields, Operation
from distillery.packages import day_of
from distillery.plans import gallons, pg, room_question, slip, tenths
from distillery.pouring import pour
from ledger.accounts import ACCOUNTS
from ledger.classes import SOURCES
from ledger.looking import Look
from ledger.plan import Leg, NewLot, Place, Plan, Question

INTO = [(code, ACCOUNTS[code].title) for code in ("processing", "redistil", "storage")]
PURPOSES = [
    ("destruction", "destruction"), ("denaturing", "denaturing"),
    ("redistillation", "redistillation"), ("reconditioning", "reconditioning"),
    ("rebottling", "rebottling"),
]  # fmt: skip


class ReturnToBondForm(RecordForm):
    """Who brings it back, why, what was found, and what a claim rests on."""

    returned_by = TextField(max_length=120, label="Returned by, empty for our own shop")
    returned_by_address = TextField(label="Their address")
    document = TextField(required=True, max_length=60, label="Return paper, number")
    purpose = ChoiceField(choices=PURPOSES, label="Returned for")
    lot = PastLotField("bottled", "spirits", "batch", required=False, label="Lot, if it is known")
    shop = VesselField("store", required=False, label="Out of our own taxpaid store")
    cases = QuantityField("count", required=False, label="Cases returned")
    bottles = QuantityField("count", required=False, label="Bottles returned")
    emptied = YesField(label="What was not bottled is all back; the shop has none left")
    case_serials = TextField(label="Case serials")
    account = ChoiceField(choices=INTO, label="Returned to")
    vessel = VesselField(*BULK, label="Dumped into")
    gauge = GaugeField(label="Gauge on receipt")
    dumped = YesField(label="Dumped and gauged at once")
    removed_on = TextField(max_length=60, label="Document it had left bond on")
    tax_paid = TextField(label="Proof that tax was paid: return, serial, rate")
    credit_memo = TextField(max_length=60, label="Credit memo to the customer, number")
    claim = TextField(max_length=60, label="Claim, number")
    family = family_field(required=False, label="Kind, if the lot is not known")
    type_code = type_field()
    name = TextField(max_length=80, label="Name, if the lot is not known")
    distilled_at = distilled_at_field()
    band = band_field()
    source = ChoiceField(choices=list(SOURCES.items()), required=False, label="Source")
    producer = TextField(max_length=120, label="Producer or bottler and plant number")
    state = TextField(max_length=40, label="State where produced")
    material = MaterialField(required=False, label="Material")
    new_lot = CodeField(label="Our new lot code, empty for the next number")

    def clean(self) -> dict[str, Any]:
        """A lot, or what kind it is; somebody else, or our own shop."""
        data = super().clean() or {}
        if self.errors:
            return data
        if not data["lot"] and not data["family"]:
            raise ValidationError({"lot": "Name the lot, or say what kind of spirits it is."})
        if data["shop"] and not data["lot"]:
            raise ValidationError({"lot": "Name the lot that came out of the shop."})
        if bool(data["shop"]) == bool(data["returned_by"]):
            raise ValidationError(
                {"returned_by": "Name who returned it, or the store of our own shop."}
            )
        return data


class ReturnToBond(Operation):
    """It comes in by its gauge. The month's tax stays: what is claimed back has its own paper."""

    slug = "return-to-bond"
    title = "Return to bond"
    group = "Remove"
    form = ReturnToBondForm
    hazards = ("ethanol_vapour", "glass", "lifting")
    kinds = BULK
    accounts = ("", "processing", "redistil", "storage")
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """A new lot in bond, child of the one that had left."""
        lot = _lot(fields)
        wine, proof = gallons(fields["gauge"])
        into = pour(
            look, vessel=fields["vessel"], account=fields["account"], sources=[lot],
            code="M-{n}", stage=lot.stage,
        )  # fmt: skip
        legs = _legs(fields, look, lot, into.place)
        lots = (lot, *into.lots)
        return Plan(
            (*into.legs, *legs), lots, document=fields["document"],
            slips=(slip(fields["gauge"], "Gauge on return"),),
            lines=(
                f"{pg(proof)} returned to {ACCOUNTS[fields['account']].title} for "
                f"{fields['purpose']} (27 CFR 19.452).",
                *_claim(fields, look),
            ),
            questions=(
                *_asked(fields), *room_question(fields["vessel"], wine + into.heel_wine, look),
            ),
        )  # fmt: skip


def _lot(fields: Fields) -> NewLot:
    code = fields["new_lot"] or "RB-{n}"
    stage = "batch" if fields["account"] == "processing" else "spirits"
    if fields["lot"]:
        return returns.as_bulk(fields["lot"], code, stage=stage)
    proof, material = fields["distilled_at"], fields["material"]
    return NewLot(
        code, stage, "pg", fields["name"] or (fields["type_code"] or fields["family"]).capitalize(),
        class_code=class_of(fields), type_code=fields["type_code"],
        source=fields["source"] or "domestic", material=material.kind if material else "",
        distilled_at=None if proof is None else tenths(proof), producer=fields["producer"],
        state=fields["state"],
    )  # fmt: skip


def _legs(fields: Fields, look: Look, lot: NewLot, to: Place) -> list[Leg]:
    if fields["shop"]:
        held, bottles = returns.of_shop(fields, look)
        return returns.out_of_shop(
            held, bottles, to, fields["gauge"], is_whole=fields["emptied"]
        )  # fmt: skip
    had_left = fields["lot"].code if fields["lot"] else lot.code
    wine, proof = gallons(fields["gauge"])
    strength = tenths(fields["gauge"].proof)
    return [Leg(Place("tax_determined", had_left), to, "return", 0, wine, proof, proof=strength)]


def _claim(fields: Fields, look: Look) -> list[str]:
    """What a claim for the tax needs, and until when (27 CFR 19.264, 19.452)."""
    until = returns.last_day_to_claim(day_of(look))
    lines = [f"A claim for the tax is filed by {until:%-d %B %Y} (27 CFR 19.264)."]
    if not fields["tax_paid"]:
        lines.append("Without proof of the rate paid the lowest effective rate is taken (19.264).")
    if fields["returned_by"] and not fields["credit_memo"]:
        lines.append("No credit memo is named; a claim carries one for each lot (27 CFR 19.452).")
    return lines


def _asked(fields: Fields) -> tuple[Question, ...]:
    if fields["dumped"]:
        return ()
    text = (
        "Spirits returned to bond are dumped at once and gauged on receipt (27 CFR 19.452). Were "
        "they?"
    )
    return (Question("not-dumped", text),)
