"""Receive in bond: the consignee's half of the transfer record, which is the deposit record.

27 CFR 19.407, 19.621; from customs custody and of wine from a bonded winery 19.322, 19.342.
"""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from distillery import receipts
from distillery.drawing import BULK
from distillery.forms import (
    AgeField,
    ChoiceField,
    CodeField,
    GaugeField,
    MaterialField,
    Part,
    ProductField,
    QuantityField,
    RowsField,
    TextField,
    VesselField,
    WhenField,
    YesField,
    wood_field,
)
from distillery.gauged_rows import GaugedPart, GaugedRowsField
from distillery.kinds import (
    SPIRITS_FAMILIES,
    band_field,
    class_of,
    distilled_at_field,
    type_field,
)
from distillery.operations.base import Fields, Operation
from distillery.plans import pg, tenths, wg
from distillery.receipts import MISSING, TROUBLES, Receipt
from distillery.signing import SignedForm, signed_line
from distillery.told_age import told_age
from ledger.accounts import ACCOUNTS
from ledger.classes import SOURCES, class_for
from ledger.plan import NewLot, Plan, Question

ACCOUNTS_INTO = [
    (code, ACCOUNTS[code].title) for code in ("storage", "processing", "redistil", "finished")
]
SENDERS = [
    ("other_plant", "another plant, in bond"), ("customs", "customs custody"),
    ("winery", "a bonded winery: wine"),
]  # fmt: skip
SEALS = [("intact", "intact"), ("broken", "broken"), ("none", "none were put on")]
FAMILIES = [*SPIRITS_FAMILIES, ("wine", "wine, in bulk")]
STATES = [("", "as sent"), *TROUBLES.items()]


class PackagePart(GaugedPart):
    """One package: the consignor's figures, and its weight on receipt where it was weighed."""

    field_order = ("barrel", "package", "wine_gallons", "proof_gallons", "state", "found")
    barrel = VesselField("barrel", required=False, label="Barrel")
    package = TextField(max_length=40, label="Its lot identification or serial")
    wine_gallons = QuantityField("volume", above=1, label="Gallons")
    proof_gallons = QuantityField("proof_gallons", above=1, label="Proof gallons")
    state = ChoiceField(choices=STATES, required=False, label="On arrival")
    found = TextField(label="What was found")

    def clean(self) -> dict[str, Any]:
        """A package that came stands in a barrel of ours."""
        data = super().clean()
        if not self.errors and not data["barrel"] and data["state"] != MISSING:
            self.add_error("barrel", "Name the barrel, or say that it is missing.")
        return data

    def _vessel(self) -> Any:
        return self.cleaned_data.get("barrel")

    def _purpose(self) -> str:
        return "package"


class CasesPart(Part):
    """Full cases of one product into one store."""

    product = ProductField(label="Product")
    cases = QuantityField("count", required=False, label="Cases")
    bottles = QuantityField("count", required=False, label="Bottles")
    store = VesselField("store", label="Into store")
    serials = TextField(label="Case serials")
    lot = CodeField(label="Our lot code, empty for the next number")

    def clean(self) -> dict[str, Any]:
        """At least one bottle."""
        data = super().clean() or {}
        data["cases"], data["bottles"] = int(data.get("cases") or 0), int(data.get("bottles") or 0)
        if not self.errors and not (data["cases"] or data["bottles"]):
            raise ValidationError("Give cases or bottles, like 30.")
        return data


class ReceiveInBondForm(SignedForm):
    """Who sent it, what their transfer record says, what was found, and who signs."""

    sender = ChoiceField(choices=SENDERS, required=False, label="Comes from")
    consignor = TextField(required=True, label="Consignor")
    registry = TextField(required=True, max_length=20, label="Consignor's plant number")
    consignor_address = TextField(label="Consignor's address")
    document = TextField(required=True, max_length=60, label="Transfer record, serial")
    application = TextField(max_length=40, label="TTB F 5100.16, serial")
    application_date = forms.DateField(
        required=False, input_formats=["%Y-%m-%d"], label="Its date",
        error_messages={"invalid": "Give the day like 2026-06-30."},
    )  # fmt: skip
    consigned_gallons = QuantityField(
        "volume", required=False, label="Gallons by the transfer record"
    )
    consigned = QuantityField(
        "proof_gallons", required=False, above=1, label="Proof gallons by the transfer record"
    )
    seals = ChoiceField(choices=SEALS, label="Seals on arrival")
    seal_ids = TextField(label="Seals or locks, their numbers")
    account = ChoiceField(choices=ACCOUNTS_INTO, label="Deposited in")
    vessel = VesselField(*BULK, required=False, label="Into tank")
    gauge = GaugeField(required=False, label="Gauge on receipt")
    family = ChoiceField(choices=FAMILIES, label="Kind")
    type_code = type_field()
    name = TextField(max_length=80, label="Name of the lot, empty for its kind")
    distilled_at = distilled_at_field()
    band = band_field()
    source = ChoiceField(choices=list(SOURCES.items()), required=False, label="Source")
    duty_rate = TextField(max_length=40, label="Rate of duty, of imported spirits")
    full_rate = YesField(label="Not for the reduced rates of tax")
    producer = TextField(max_length=120, label="Producer and plant number")
    state = TextField(max_length=40, label="State where produced")
    material = MaterialField(required=False, label="Material")
    owner = TextField(max_length=120, label="Owner, if the spirits are held for another")
    lot = CodeField(label="Our lot code, empty for the next number")
    barrels = GaugedRowsField(PackagePart, required=False, label="Packages")
    exemption = TextField(label="Why packages were not weighed, if the seals do not say")
    aged_from = WhenField(required=False, label="In this wood since, barrels only")
    wood = wood_field()
    aged_new = AgeField(label="Age before, in charred new oak, like 2 years 3 months")
    aged_other = AgeField(label="Age before, in other wood")
    cases = RowsField(CasesPart, required=False, label="Cases")
    from_coast_to_coast = YesField(label="Wine that came from coast to coast")
    loss_taxed = YesField(label="Tax is due on what was lost (27 CFR 19.461)")
    reported = TextField(label="Told to TTB: when, whom and of what")

    def clean(self) -> dict[str, Any]:
        """One of a tank with its gauge, packages, or cases."""
        data = super().clean()
        if self.errors:
            return data
        data["sender"] = data["sender"] or "other_plant"
        if sum(map(bool, (data["vessel"], data["barrels"], data["cases"]))) != 1:
            raise ValidationError(
                {"vessel": "Give either a tank with its gauge, or barrels, or cases."}
            )
        self._check_account(data)
        if data["vessel"] and data["gauge"] is None:
            self.add_error("gauge", "Bulk spirits are gauged on receipt. Give the gauge.")
        if data["vessel"] and data["consigned"] is None and data["sender"] == "other_plant":
            self.add_error("consigned", "Give the proof gallons of the transfer record.")
        return data

    def _check_account(self, data: dict[str, Any]) -> None:
        is_finished = data["account"] == "finished"
        if is_finished != bool(data["cases"]):
            told = "cases" if is_finished else "bulk or packages"
            self.add_error("account", f"{ACCOUNTS[data['account']].title} takes {told} only.")
        if data["family"] == "wine" and (data["account"] == "redistil" or data["cases"]):
            self.add_error(
                "family", "Wine comes in bulk, into storage or processing (27 CFR 19.322, 19.342)."
            )


class ReceiveInBond(Operation):
    """Spirits of another plant, at our gauge, into storage, processing or for redistillation."""

    slug = "receive-in-bond"
    title = "Receive in bond"
    group = "Store"
    form = ReceiveInBondForm
    hazards = ("ethanol_vapour", "lifting")
    kinds = BULK
    accounts = ("", "storage", "processing", "redistil")
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """The receipt at what was found, and the difference in transit outside the account."""
        lots = _lots(fields, look)
        found = _received(fields, look, lots)
        incoming = [leg for leg in found.legs if leg.purpose == "receive"]
        wine = sum(leg.wine_gallons for leg in incoming)
        proof = sum(leg.proof_gallons for leg in incoming)
        legs, lines, asked = receipts.transit(
            fields, lots[0].code, wine=wine, proof=proof, is_wine=fields["family"] == "wine"
        )
        told = f"{wg(wine)}, {pg(proof)} from {fields['consignor']} ({fields['registry']})."
        return Plan(
            (*found.legs, *legs), (*lots, *found.lots), document=fields["document"],
            slips=found.slips,
            lines=(told, *found.lines, *lines, *_papers(fields)),
            questions=(*found.questions, *asked, *_seals(fields)),
        )  # fmt: skip


def _received(fields: Fields, look: Any, lots: tuple[NewLot, ...]) -> Receipt:
    if fields["cases"]:
        return receipts.cases(fields, look, lots)
    act = receipts.packages if fields["barrels"] else receipts.bulk
    return act(fields, look, lots[0])


def _lots(fields: Fields, look: Any) -> tuple[NewLot, ...]:
    if not fields["cases"]:
        return (_lot(fields, look),)
    return tuple(
        _bottled(fields, row, number, look) for number, row in enumerate(fields["cases"], 1)
    )


def _facts(fields: Fields) -> dict[str, Any]:
    """What every lot received here has in common."""
    proof, material = fields["distilled_at"], fields["material"]
    return {
        "source": fields["source"] or "domestic", "owner": fields["owner"],
        "material": material.kind if material else "",
        "distilled_at": None if proof is None else tenths(proof),
        "producer": fields["producer"] or f"{fields['consignor']} {fields['registry']}",
        "state": fields["state"], "reduced_rate": not (fields["full_rate"] or fields["cases"]),
    }  # fmt: skip


def _lot(fields: Fields, look: Any) -> NewLot:
    barrels = [row["barrel"] for row in fields["barrels"] if row["barrel"]]
    stage = "wine" if fields["family"] == "wine" else "spirits"
    name = fields["name"] or (fields["type_code"] or fields["family"]).capitalize()
    return NewLot(
        fields["lot"] or "N-{n}", stage, "pg", name,
        class_code=class_of(fields), type_code=fields["type_code"], **_facts(fields),
        **told_age(fields, barrels, look, field="aged_from"),
    )  # fmt: skip


def _bottled(fields: Fields, row: dict[str, Any], number: int, look: Any) -> NewLot:
    product = row["product"]
    is_told = fields["distilled_at"] is not None or fields["band"]
    low = {**fields, "family": product.family}
    suffix = f"-{number}" if len(fields["cases"]) > 1 else ""
    return NewLot(
        row["lot"] or f"N-{{n}}{suffix}", "bottled", "bottle", product.name,
        class_code=class_of(low) if is_told else class_for(product.family, 0),
        type_code=product.type_code, form="bottled", product=product.code,
        bottle_ml=product.bottle_ml, per_case=product.per_case,
        label_proof=tenths(product.label_proof), **_facts(fields),
        **told_age(fields, [], look, field="aged_from"),
    )  # fmt: skip


def _papers(fields: Fields) -> list[str]:
    lines = []
    if fields["sender"] == "other_plant" and not fields["application"]:
        lines.append("No TTB F 5100.16 of ours is named (27 CFR 19.403, 19.621).")
    if fields["source"] == "imported" and not fields["duty_rate"]:
        lines.append("The record of imported spirits tells the rate of duty (27 CFR 19.581(k)).")
    if fields["owner"]:
        lines.append(f"Held for {fields['owner']}.")
    return [*lines, signed_line(fields, "27 CFR 19.621")]


def _seals(fields: Fields) -> tuple[Question, ...]:
    if fields["seals"] != "broken" or fields["reported"]:
        return ()
    text = (
        "Broken seals are told to TTB before unloading, and barrels are weighed (27 CFR 19.407, "
        "19.621). Was that done?"
    )
    return (Question("seals-broken", text),)
