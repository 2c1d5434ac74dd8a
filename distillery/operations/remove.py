"""Removing spirits from bond: one document, one withdrawal.

On determination of tax (27 CFR 19.611, 19.226, 19.289(b)), free of tax, or without payment of
tax (26 U.S.C. 5214(a)).
"""

from typing import Any

from django.core.exceptions import ValidationError
from django.utils import timezone

from distillery.bottled import carried
from distillery.bottled_rows import BottlesPart, bottles_by_place, told_count
from distillery.drawing import Draw, draw, gain_question
from distillery.forms import (
    ChoiceField,
    GaugeField,
    RecordForm,
    RowsField,
    TextField,
    VesselField,
    YesField,
)
from distillery.gauged_rows import GaugedPart, GaugedRowsField, gauge_of
from distillery.leaving import barrels_along
from distillery.operations.base import Fields, Operation
from distillery.packages import gauge_step
from distillery.plans import pg, place, slip
from distillery.removals import PURPOSES, check_document, lateness
from ledger.errors import BadFact
from ledger.gauging import Gauge
from ledger.looking import Held, Look
from ledger.models import Premises, Vessel
from ledger.plan import Leg, Place, Plan, Question, Slip

BULK = ("barrel", "tank", "tote", "receiver", "bottling_tank")
BULK_ACCOUNTS = ("production", "storage", "processing")
TO = [(code, one.words) for code, one in PURPOSES.items()]
BY_WEIGHT = (
    "Bulk is gauged for tax by weight or a mass flow meter certified to 0.1 % (27 CFR 19.226, "
    "19.284(b)). Give weights, or say why it was gauged by volume and with which meter."
)


class PackagePart(GaugedPart):
    """One package, weighed for tax by itself (27 CFR 19.226)."""

    field_order = ("vessel", "part")
    vessel = VesselField("barrel", label="Barrel")
    part = YesField(label="Only a part was taken")

    def _purpose(self) -> str:
        return "tax"


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
    not_gone = YesField(label="Not gone yet: the goods still stand here")
    stands_at = TextField(max_length=80, label="Where they stand until they go")
    conveyance = TextField(label="Conveyance")
    seals = TextField(label="Seals or locks")
    permit = TextField(max_length=60, label="Permit or approved application, if tax is not paid")
    vessel = VesselField(*BULK, required=False, label="Bulk from")
    gauge = GaugeField(purpose="tax", required=False, label="Gauge of the bulk, by weight")
    emptied = YesField(label="The bulk vessel is empty now")
    packages = GaugedRowsField(PackagePart, required=False, label="Packages")
    volume_reason = TextField(label="If gauged by volume: why, and with which meter")

    def __init__(self, *args: Any, premises: Premises, **options: Any) -> None:
        if "initial" in options:
            options["initial"] = _placed(options["initial"], premises)
        super().__init__(*args, premises=premises, **options)

    def clean(self) -> dict[str, Any]:
        """Bottles or bulk; a consignee or our own shop."""
        data = super().clean() or {}
        if self.errors:
            return data
        data["to"] = data["to"] or "tax_determined"
        if data["to"] != "taxpaid" and not data["consignee"]:
            raise ValidationError({"consignee": "Name whom it goes to."})
        if data["to"] == "taxpaid" and not data["shop"]:
            raise ValidationError({"shop": "Name the store it stands in from now on."})
        if bool(data["vessel"]) != bool(data["gauge"]):
            raise ValidationError({"gauge": "Bulk needs its vessel and its gauge."})
        if not (data["rows"] or data["packages"] or data["vessel"]):
            raise ValidationError({"rows": "Give the bottles, or the bulk with its gauge."})
        self._check_way(data)
        return data

    def _check_way(self, data: dict[str, Any]) -> None:
        gauges = {"gauge": [data["gauge"]], "packages": map(gauge_of, data["packages"])}
        for name, found in gauges.items():
            by_volume = any(gauge and gauge.method == "volume" for gauge in found)
            if by_volume and not data["volume_reason"]:
                raise ValidationError({name: BY_WEIGHT})


def _placed(initial: dict[str, Any], premises: Premises) -> dict[str, Any]:
    """What the floor fills in: its vessel belongs to the bottles, the packages or the bulk."""
    code = initial.get("vessel")
    found = Vessel.objects.filter(premises=premises, code=code).first() if code else None
    if found and found.kind == Vessel.Kind.STORE:
        return {**initial, "vessel": "", "rows": [{"store": code}]}
    if found and found.kind == Vessel.Kind.BARREL:
        return {**initial, "vessel": "", "packages": [{"vessel": code}]}
    return initial


class Remove(Operation):
    """The tax is figured from this: proof gallons by document and day."""

    slug = "remove"
    title = "Remove from bond"
    group = "Remove"
    form = RemoveForm
    hazards = ("lifting",)
    kinds = ("store", "barrel", "tank", "tote")
    accounts = ("finished", "storage", "processing")
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """Each lot with what it carries, out of bond under one document number."""
        check_document(look.premises, fields["document"])
        legs, lines = _bottles(fields, look)
        draws = _draws(fields, look)
        for one, _ in draws:
            legs += [*one.rest(), one.leg(_to(fields, one.held), "remove")]
            lines.append(f"{one.held.vessel.code}, lot {one.held.lot.code}: {pg(one.proof)}.")
        removed = sum(leg.proof_gallons for leg in legs if leg.purpose == "remove")
        return Plan(
            tuple(legs), document=fields["document"],
            slips=tuple(_slip(one, gauge) for one, gauge in draws),
            lines=(*lines, *_told(fields, look, draws, removed)),
            questions=(*gain_question(one for one, _ in draws), *_asked(fields)),
        )  # fmt: skip


def _to(fields: Fields, held: Held) -> Place:
    shop = fields["shop"].code if fields["to"] == "taxpaid" else ""
    return Place(fields["to"], held.lot.code, shop)


def _bottles(fields: Fields, look: Look) -> tuple[list[Leg], list[str]]:
    legs, lines = [], []
    for held, bottles in bottles_by_place(fields["rows"], look):
        wine, proof = carried(held, bottles)
        legs.append(Leg(place(held), _to(fields, held), "remove", bottles, wine, proof))
        lines.append(
            f"{told_count(held.lot, bottles)} of {held.lot.name}, lot {held.lot.code}: {pg(proof)}."
        )
    return legs, lines


def _draws(fields: Fields, look: Look) -> list[tuple[Draw, Gauge]]:
    """What is taken from each package and the bulk vessel, with its gauge."""
    step = gauge_step(look)
    rows = [
        (row["vessel"], gauge_of(row, step=step), not row["part"]) for row in fields["packages"]
    ]
    if fields["vessel"]:
        rows.append((fields["vessel"], fields["gauge"], fields["emptied"]))
    codes = [vessel.code for vessel, _, _ in rows]
    if len(set(codes)) != len(codes):
        raise BadFact("A vessel stands here twice. Give each one row.", field="packages")
    found = []
    for vessel, gauge, is_whole in rows:
        if gauge is None:
            raise BadFact(
                f"{vessel.code}: packages are gauged one by one (27 CFR 19.226).", field="packages"
            )
        held = look.one(vessel.code, *BULK_ACCOUNTS)
        _refuse_unfit(held, fields)
        found.append((draw(held, gauge=gauge, is_whole=is_whole), gauge))
    return found


def _refuse_unfit(held: Held, fields: Fields) -> None:
    """Wine is not taxed as spirits; new spirits do not go straight into a customs warehouse."""
    if held.lot.designation.class_code == "wine" and PURPOSES[fields["to"]].is_taxed:
        raise BadFact(
            f"{held.vessel.code} holds wine, whose tax is not figured here (26 U.S.C. 5041). Ship "
            "it in bond instead.",
            field="vessel",
        )
    if held.account == "production" and fields["to"] == "cbw":
        raise BadFact(
            "Spirits go to a customs bonded warehouse from storage or processing, not from "
            "production (27 CFR 19.585(b), 19.590(c)).",
            field="to",
        )


def _slip(one: Draw, gauge: Gauge) -> Slip:
    if one.held.account == "production":  # the words of 27 CFR 19.289(b)
        return slip(gauge, f"Withdrawal on Production Gauge, {one.held.vessel.code}")
    return slip(gauge, f"Gauge for tax, {one.held.vessel.code}")


def _told(
    fields: Fields, look: Look, draws: list[tuple[Draw, Gauge]], removed: int
) -> list[str]:  # fmt: skip
    purpose = PURPOSES[fields["to"]]
    lines = []
    if purpose.is_taxed:
        lines.append(f"Tax is determined on {pg(removed)} by document {fields['document']}.")
        lines += lateness(look.premises, look.at, timezone.now())
    else:
        lines.append(f"{pg(removed)} leave without tax for {purpose.words} ({purpose.law}).")
    if any(one.held.account == "production" for one, _ in draws):
        lines.append("Mark the gauge record “Withdrawal on Production Gauge” (27 CFR 19.289(b)).")
    if fields["to"] != "taxpaid" and not fields["consignee_address"]:
        lines.append("The record carries the consignee's address too (27 CFR 19.581(i)).")
    lines += barrels_along(one for one, _ in draws)
    if fields["not_gone"]:
        where = fields["stands_at"] or "here"
        lines.append(f"Not gone: they stand {where} until “goods gone” is recorded (19.464).")
    return lines


def _asked(fields: Fields) -> tuple[Question, ...]:
    """What the law wants on the document and the record does not tell."""
    purpose = PURPOSES[fields["to"]]
    if purpose.is_taxed and not fields["initials"]:
        text = (
            f"Document {fields['document']} is signed or initialled by an agent or employee (27 "
            "CFR 19.611), and nobody is named here. Record it, and sign the paper?"
        )
        return (Question("not-initialled", text),)
    if not purpose.is_taxed and not fields["permit"]:
        text = (
            f"Spirits leave without tax for {purpose.words} under a permit or an approved "
            f"application ({purpose.law}), and none is named here. Record it all the same?"
        )
        return (Question("no-permit", text),)
    return ()
