"""Goods bought taxpaid come into the own taxpaid stock, outside bond (27 CFR 19.622)."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottled import labelled
from distillery.bottled_rows import told_count
from distillery.forms import (
    ChoiceField,
    CodeField,
    QuantityField,
    RecordForm,
    TextField,
    VesselField,
)
from distillery.kinds import band_field, class_of, distilled_at_field, family_field, type_field
from distillery.operations.base import Fields, Operation
from distillery.plans import pg, tenths
from ledger.classes import SOURCES
from ledger.looking import Look
from ledger.plan import Leg, NewLot, Place, Plan


class TaxpaidReceiveForm(RecordForm):
    """From whom, which brand and kind, and how much."""

    supplier = TextField(required=True, max_length=120, label="Supplier")
    supplier_address = TextField(label="Supplier's address")
    document = TextField(max_length=60, label="Their invoice, number")
    store = VesselField("store", label="Into store")
    name = TextField(required=True, max_length=80, label="Brand")
    family = family_field()
    type_code = type_field()
    distilled_at = distilled_at_field()
    band = band_field()
    source = ChoiceField(choices=list(SOURCES.items()), required=False, label="Source")
    producer = TextField(max_length=120, label="Producer or bottler")
    bottle_ml = QuantityField("count", above=1, label="Bottle, mL")
    per_case = QuantityField("count", required=False, label="Bottles a case")
    proof = QuantityField("proof", label="Proof on the label")
    cases = QuantityField("count", required=False, label="Cases")
    bottles = QuantityField("count", required=False, label="Bottles")
    case_serials = TextField(label="Serials of packages or cases")
    lot = CodeField(label="Our lot code, empty for the next number")

    def clean(self) -> dict[str, Any]:
        """At least one bottle; cases need their size."""
        data = super().clean() or {}
        if self.errors:
            return data
        if data["cases"] and not data["per_case"]:
            raise ValidationError({"per_case": "Give the bottles to a case."})
        count = int(data["cases"] or 0) * int(data["per_case"] or 0) + int(data["bottles"] or 0)
        if not count:
            raise ValidationError({"cases": "Give cases or bottles, like 30."})
        data["count"] = count
        return data


class TaxpaidReceive(Operation):
    """A lot of its own, by its label; it never was in our bond."""

    slug = "taxpaid-receive"
    title = "Receive taxpaid goods"
    group = "Remove"
    form = TaxpaidReceiveForm
    hazards = ("lifting",)
    kinds = ("store",)
    accounts = ("", "taxpaid")
    vessel_field = "store"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """From the supplier into the store."""
        lot = _lot(fields)
        to = Place("taxpaid", lot.code, fields["store"].code)
        wine, proof = labelled(lot, fields["count"])
        leg = Leg(Place("supplier", lot.code), to, "receive", fields["count"], wine, proof)
        told = f"{told_count(lot, fields['count'])} of {lot.name} from {fields['supplier']}: "
        return Plan((leg,), (lot,), document=fields["document"], lines=(f"{told}{pg(proof)}.",))


def _lot(fields: Fields) -> NewLot:
    # No report divides what is outside bond, so a band that the papers do not tell is the lower.
    kind = {**fields, "band": fields["band"] or "low"}
    return NewLot(
        fields["lot"] or "T-{n}", "bottled", "bottle", fields["name"],
        class_code=class_of(kind),
        type_code=fields["type_code"], source=fields["source"] or "domestic", form="bottled",
        distilled_at=None if fields["distilled_at"] is None else tenths(fields["distilled_at"]),
        producer=fields["producer"] or fields["supplier"], bottle_ml=int(fields["bottle_ml"]),
        per_case=int(fields["per_case"] or 0) or None, label_proof=tenths(fields["proof"]),
    )  # fmt: skip
