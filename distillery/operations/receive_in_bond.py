"""Receive spirits from another plant in bond (27 CFR 19.407, 19.621, 19.462(d))."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.drawing import BULK
from distillery.forms import (
    AgeField,
    ChoiceField,
    CodeField,
    GaugeField,
    MaterialField,
    Part,
    QuantityField,
    RecordForm,
    RowsField,
    TextField,
    VesselField,
    WhenField,
    wood_field,
)
from distillery.kinds import band_field, class_of, distilled_at_field, family_field, type_field
from distillery.operations.base import Fields, Operation
from distillery.plans import gallons, pg, room_question, slip, tenths, wg
from distillery.pouring import heel_in, pour
from distillery.told_age import told_age
from ledger.accounts import ACCOUNTS
from ledger.classes import SOURCES
from ledger.errors import BadFact
from ledger.plan import Leg, NewLot, Place, Plan, Question
from ledger.quantities import to_hundredths

ACCOUNTS_INTO = [(code, ACCOUNTS[code].title) for code in ("storage", "processing", "redistil")]
SEALS = [("intact", "intact"), ("broken", "broken"), ("none", "none were put on")]


class SealedPart(Part):
    """One sealed package taken at the consignor's figures."""

    barrel = VesselField("barrel", label="Barrel")
    wine_gallons = QuantityField("volume", above=1, label="Gallons")
    proof_gallons = QuantityField("proof_gallons", above=1, label="Proof gallons")


class ReceiveInBondForm(RecordForm):
    """Who sent it, what their transfer record says, and what was found."""

    consignor = TextField(required=True, label="Consignor")
    registry = TextField(required=True, max_length=20, label="Consignor's plant number")
    document = TextField(required=True, max_length=60, label="Transfer record, serial")
    application = TextField(max_length=40, label="TTB F 5100.16, serial")
    consigned_gallons = QuantityField(
        "volume", required=False, label="Gallons by the transfer record"
    )
    consigned = QuantityField(
        "proof_gallons", required=False, above=1, label="Proof gallons by the transfer record"
    )
    seals = ChoiceField(choices=SEALS, label="Seals on arrival")
    account = ChoiceField(choices=ACCOUNTS_INTO, label="Deposited in")
    vessel = VesselField(*BULK, required=False, label="Into tank")
    gauge = GaugeField(required=False, label="Gauge on receipt")
    barrels = RowsField(SealedPart, required=False, label="Sealed barrels")
    family = family_field()
    type_code = type_field()
    name = TextField(max_length=80, label="Name of the lot, empty for its kind")
    distilled_at = distilled_at_field()
    band = band_field()
    source = ChoiceField(choices=list(SOURCES.items()), required=False, label="Source")
    producer = TextField(max_length=120, label="Producer and plant number")
    state = TextField(max_length=40, label="State where produced")
    material = MaterialField(required=False, label="Material")
    aged_from = WhenField(required=False, label="In this wood since, barrels only")
    wood = wood_field()
    aged_new = AgeField(label="Age before, in charred new oak, like 2 years 3 months")
    aged_other = AgeField(label="Age before, in other wood")
    lot = CodeField(label="Our lot code, empty for the next number")

    def clean(self) -> dict[str, Any]:
        """Either a tank with its gauge, or sealed barrels."""
        data = super().clean() or {}
        if self.errors:
            return data
        if bool(data["barrels"]) == bool(data["vessel"]):
            raise ValidationError({"vessel": "Give either a tank with its gauge or barrels."})
        if data["vessel"] and data["gauge"] is None:
            self.add_error("gauge", "Bulk spirits are gauged on receipt. Give the gauge.")
        if data["vessel"] and data["consigned"] is None:
            self.add_error("consigned", "Give the proof gallons of the transfer record.")
        return data


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
        lot = _lot(fields, look)
        asked: tuple[Question, ...] = ()
        lots: tuple[NewLot, ...] = ()
        if fields["barrels"]:
            legs = _sealed(fields, look, lot)
        else:
            legs, lots, asked = _bulk(fields, look, lot)
        incoming = [leg for leg in legs if leg.purpose == "receive"]
        wine = sum(leg.wine_gallons for leg in incoming)
        proof = sum(leg.proof_gallons for leg in incoming)
        slips = (slip(fields["gauge"], "Gauge on receipt"),) if fields["vessel"] else ()
        transit, lines, over = _transit(fields, lot.code, wine=wine, proof=proof)
        told = f"{wg(wine)}, {pg(proof)} from {fields['consignor']} ({fields['registry']})."
        return Plan(
            (*legs, *transit), (lot, *lots), document=fields["document"], slips=slips,
            lines=(told, *lines), questions=(*asked, *over, *_seals(fields)),
        )  # fmt: skip


def _lot(fields: Fields, look: Any) -> NewLot:
    proof, material = fields["distilled_at"], fields["material"]
    barrels = [row["barrel"] for row in fields["barrels"]]
    return NewLot(
        fields["lot"] or "N-{n}", "spirits", "pg", fields["name"] or _told_kind(fields),
        class_code=class_of(fields), type_code=fields["type_code"],
        source=fields["source"] or "domestic", material=material.kind if material else "",
        distilled_at=None if proof is None else tenths(proof),
        producer=fields["producer"] or f"{fields['consignor']} {fields['registry']}",
        state=fields["state"], **told_age(fields, barrels, look, field="aged_from"),
    )  # fmt: skip


def _told_kind(fields: Fields) -> str:
    return (fields["type_code"] or fields["family"]).capitalize()


def _bulk(
    fields: Fields, look: Any, lot: NewLot
) -> tuple[tuple[Leg, ...], tuple[NewLot, ...], tuple[Question, ...]]:
    gauge, vessel = fields["gauge"], fields["vessel"]
    code = f"{lot.code}-mix" if fields["lot"] else "M-{n}"
    into = pour(look, vessel=vessel, account=fields["account"], sources=[lot], code=code)
    wine, proof = gallons(gauge)
    leg = Leg(
        Place("other_plant", lot.code), into.place, "receive", 0, wine, proof,
        proof=tenths(gauge.proof),
    )  # fmt: skip
    asked = room_question(vessel, wine + into.heel_wine, look)
    return (*into.legs, leg), into.lots, asked


def _sealed(fields: Fields, look: Any, lot: NewLot) -> tuple[Leg, ...]:
    legs: dict[str, Leg] = {}
    for row in fields["barrels"]:
        code = row["barrel"].code
        if code in legs or heel_in(look, row["barrel"], fields["account"], field="barrels"):
            raise BadFact(f"{code} is not empty by the book, or stands twice.", field="barrels")
        wine, proof = to_hundredths(row["wine_gallons"]), to_hundredths(row["proof_gallons"])
        to = Place(fields["account"], lot.code, code)
        legs[code] = Leg(Place("other_plant", lot.code), to, "receive", 0, wine, proof)
    return tuple(legs.values())


def _transit(
    fields: Fields, lot: str, *, wine: int, proof: int
) -> tuple[tuple[Leg, ...], tuple[str, ...], tuple[Question, ...]]:
    """What was lost or gained on the way: from boundary to boundary, in no account of ours."""
    if fields["consigned"] is None:
        return (), (), ()
    consigned = to_hundredths(fields["consigned"])
    gallons_sent = fields["consigned_gallons"]
    less = 0 if gallons_sent is None else to_hundredths(gallons_sent) - wine
    away, found = Place("other_plant", lot), consigned - proof
    percent = f"{abs(found) * 100 / consigned:.2f} % of {pg(consigned)} consigned"
    if found < 0:
        leg = Leg(Place("gain", lot), away, "transit", 0, max(0, -less), -found)
        return (leg,), (f"Gain in transit {pg(-found)}, {percent}.",), ()
    if found == 0:
        return (), ("Received what was consigned.",), ()
    leg = Leg(away, Place("loss", lot), "transit", 0, max(0, less), found)
    line = f"Loss in transit {pg(found)}, {percent}; the limit is 1 % (27 CFR 19.462(d))."
    if found * 100 <= consigned:
        return (leg,), (line,), ()
    text = (
        f"{pg(found)} were lost in transit, {percent}. A loss above 1 % is reported to TTB "
        "promptly (27 CFR 19.462(d)). Is the gauge right?"
    )
    return (leg,), (line,), (Question("transit-loss-over-1", text),)


def _seals(fields: Fields) -> tuple[Question, ...]:
    if fields["seals"] != "broken":
        return ()
    text = (
        "Broken seals are told to TTB before unloading, and barrels are weighed (27 CFR 19.407, "
        "19.621). Was that done?"
    )
    return (Question("seals-broken", text),)
