"""What a receipt in bond tells: sender, papers, what was found, where it went, who signs.

27 CFR 19.407, 19.621; from customs custody and of wine from a bonded winery 19.322, 19.342.
"""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.drawing import BULK
from distillery.forms import (
    AgeField,
    ChoiceField,
    CodeField,
    DayField,
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
from distillery.kinds import SPIRITS_FAMILIES, band_field, distilled_at_field, type_field
from distillery.receipts import MISSING, TROUBLES
from distillery.signing import SignedForm
from ledger.accounts import ACCOUNTS
from ledger.classes import SOURCES

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
    application_date = DayField(label="Its date")
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
