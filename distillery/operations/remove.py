"""Removing spirits on determination of tax: one document, one withdrawal."""

from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.utils import timezone

from distillery.bottled import carried, in_store
from distillery.forms import (
    ChoiceField,
    GaugeField,
    LotField,
    Part,
    QuantityField,
    RecordForm,
    RowsField,
    TextField,
    VesselField,
    YesField,
)
from distillery.operations.base import Fields, Operation
from distillery.plans import gallons, loss_or_gain, pg, place, slip
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Entry, Lot, Premises
from ledger.plan import Leg, Place, Plan, Slip

BULK = ("barrel", "tank", "tote", "receiver", "bottling_tank")
BULK_ACCOUNTS = ("production", "storage", "processing")
TO = [("tax_determined", "a customer"), ("taxpaid", "our own tasting room or shop")]


class BottlesPart(Part):
    """Cases or bottles of one lot out of one store."""

    lot = LotField("bottled", label="Lot")
    store = VesselField("store", required=False, label="Store, if the lot is in several")
    cases = QuantityField("count", required=False, label="Cases")
    bottles = QuantityField("count", required=False, label="Bottles")

    def clean(self) -> dict[str, Any]:
        """At least one bottle."""
        data = super().clean() or {}
        data["cases"], data["bottles"] = int(data.get("cases") or 0), int(data.get("bottles") or 0)
        if not self.errors and not (data["cases"] or data["bottles"]):
            raise ValidationError("Give cases or bottles, like 30.")
        return data


class RemoveForm(RecordForm):
    """The document (27 CFR 19.611), whom it goes to, and bottles or bulk (27 CFR 19.226)."""

    document = TextField(required=True, max_length=60, label="Invoice or shipping document, number")
    to = ChoiceField(choices=TO, required=False, initial="tax_determined", label="Goes to")
    consignee = TextField(max_length=120, label="Consignee")
    consignee_address = TextField(label="Consignee's address")
    consignee_state = TextField(max_length=40, label="Consignee's State")
    initials = TextField(max_length=40, label="Signed or initialled by")
    rows = RowsField(BottlesPart, required=False, label="Bottles")
    shop = VesselField("store", required=False, label="Store of the tasting room or shop")
    vessel = VesselField(*BULK, required=False, label="Bulk from")
    gauge = GaugeField(purpose="tax", required=False, label="Gauge of the bulk, by weight")
    emptied = YesField(label="The bulk vessel is empty now")
    volume_reason = TextField(label="If gauged by volume: why, and with which meter")

    def clean(self) -> dict[str, Any]:
        """Bottles or bulk; a consignee or our own shop."""
        data = super().clean() or {}
        if self.errors:
            return data
        data["to"] = data["to"] or "tax_determined"
        if data["to"] == "tax_determined" and not data["consignee"]:
            raise ValidationError({"consignee": "Name whom it goes to."})
        if data["to"] == "taxpaid" and not data["shop"]:
            raise ValidationError({"shop": "Name the store it stands in from now on."})
        if bool(data["vessel"]) != bool(data["gauge"]):
            raise ValidationError({"gauge": "Bulk needs its vessel and its gauge."})
        if not data["rows"] and not data["vessel"]:
            raise ValidationError({"rows": "Give the bottles, or the bulk with its gauge."})
        self._check_way(data)
        return data

    def _check_way(self, data: dict[str, Any]) -> None:
        gauge = data["gauge"]
        if gauge and gauge.method == "volume" and not data["volume_reason"]:
            raise ValidationError({
                "gauge": "Bulk is gauged for tax by weight (27 CFR 19.226, 19.284(b)). Give "
                "weights, or say why it was gauged by volume and with which meter."
            })  # fmt: skip


class Remove(Operation):
    """The tax is figured from this: proof gallons by document and day."""

    slug = "remove"
    title = "Remove on tax determination"
    group = "Remove"
    form = RemoveForm
    hazards = ("lifting",)
    kinds = ("store",)
    accounts = ("finished",)

    def plan(self, fields: Fields, look: Look) -> Plan:
        """Each lot with what it carries, out of bond under one document number."""
        check_document(look.premises, fields["document"])
        shop = fields["shop"].code if fields["to"] == "taxpaid" else ""
        legs, slips, lines = [], [], []
        for held, bottles in bottles_by_place(fields["rows"], look):
            wine, proof = carried(held, bottles)
            to = Place(fields["to"], held.lot.code, shop)
            legs.append(Leg(place(held), to, "remove", bottles, wine, proof))
            lines.append(
                f"{told_count(held.lot, bottles)} of {held.lot.name}, lot {held.lot.code}: "
                f"{pg(proof)}."
            )
        if fields["vessel"]:
            bulk, told = self._bulk(fields, look, shop)
            legs += bulk
            slips.append(told)
        removed = sum(leg.proof_gallons for leg in legs if leg.purpose == "remove")
        lines.append(f"Tax is determined on {pg(removed)} by document {fields['document']}.")
        lines += lateness(look.premises, look.at, timezone.now())
        return Plan(
            tuple(legs), document=fields["document"], slips=tuple(slips), lines=tuple(lines)
        )

    def _bulk(self, fields: Fields, look: Look, shop: str) -> tuple[list[Leg], Slip]:
        gauge = fields["gauge"]
        held = look.one(fields["vessel"].code, *BULK_ACCOUNTS)
        wine, proof = gallons(gauge)
        legs: list[Leg] = []
        if fields["emptied"]:
            legs += loss_or_gain(
                place(held), wine=wine - held.wine_gallons, proof=proof - held.proof_gallons,
                purpose="empty",
            )  # fmt: skip
        strength = int(gauge.proof * 10)
        to = Place(fields["to"], held.lot.code, shop)
        legs.append(Leg(place(held), to, "remove", 0, wine, proof, proof=strength))
        return legs, slip(gauge, "Gauge for tax")


def check_document(premises: Premises, document: str) -> None:
    """Refuse a document number that a removal not taken back already bears (27 CFR 19.611)."""
    same = Entry.objects.filter(premises=premises, operation=Remove.slug, document=document)
    used = same.filter(reversed_by=None).first()
    if used:
        raise BadFact(
            f"Document {document} is already removal entry {used.number}. One document is one "
            "withdrawal (27 CFR 19.611); give this one its own number.",
            field="document",
        )


def bottles_by_place(rows: list[dict[str, Any]], look: Look) -> list[tuple[Held, int]]:
    """Bottles by holding; rows of the same lot and store are taken together."""
    sums: dict[tuple[str, str], tuple[Held, int]] = {}
    for row in rows:
        held = in_store(look, row["lot"], row["store"])
        bottles = row["cases"] * (row["lot"].per_case or 0) + row["bottles"]
        key = held.lot.code, held.vessel.code
        sums[key] = held, sums.get(key, (held, 0))[1] + bottles
    return list(sums.values())


def told_count(lot: Lot, bottles: int) -> str:
    """``30 cases and 2 bottles``."""
    cases, rest = divmod(bottles, lot.per_case or bottles + 1)
    words = [
        f"{number:,} {name}{'' if number == 1 else 's'}"
        for number, name in ((cases, "case"), (rest, "bottle"))
        if number
    ]
    return " and ".join(words)


def lateness(premises: Premises, at: datetime, now: datetime) -> list[str]:
    """How late the record is, if it is: 27 CFR 19.580(b) asks for the same day."""
    days = (now.astimezone(premises.zone).date() - at.astimezone(premises.zone).date()).days
    if days <= 0:
        return []
    return [
        f"Recorded {days:,} day{'' if days == 1 else 's'} after the removal; "
        "27 CFR 19.580(b) asks for the same day."
    ]
