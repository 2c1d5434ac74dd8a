"""Reduce with water in production, storage or processing (27 CFR 19.283, 30.64, 30.66)."""

from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError

from distillery.drawing import BULK
from distillery.forms import GaugeField, QuantityField, RecordForm, VesselField
from distillery.operations.base import Fields, Operation
from distillery.plans import gallons, loss_or_gain, one_of, pg, place, room_question, slip, wg
from ledger import gauging
from ledger.errors import BadFact
from ledger.looking import Held
from ledger.plan import Leg, Place, Plan, Question, Slip
from ledger.quantities import to_decimal
from ledger.quantities import to_hundredths as hundredths

ACCOUNTS = ("production", "redistil", "storage", "processing")


class ReduceForm(RecordForm):
    """The water added, or the proof wanted; and the gauge after mixing when it was taken."""

    vessel = VesselField(*BULK, label="Tank")
    water = QuantityField("volume", required=False, above=1, label="Water added")
    to_proof = QuantityField("proof", required=False, label="or cut to proof, water computed")
    gauge = GaugeField(required=False, label="Gauge after mixing")

    def clean(self) -> dict[str, Any]:
        """One way to the water."""
        data = super().clean() or {}
        if not self.errors and (data["water"] is None) == (data["to_proof"] is None):
            raise ValidationError({"water": "Give the water added, or the proof it was cut to."})
        return data


class Reduce(Operation):
    """Water brings gallons and no proof gallons; mixing contracts; the lot stays what it is."""

    slug = "reduce"
    title = "Reduce with water"
    group = "Store"
    form = ReduceForm
    hazards = ("proofing", "ethanol_vapour")
    kinds = BULK
    accounts = ACCOUNTS
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """Water in, contraction out, and what the gauge found more or less."""
        code = fields["vessel"].code
        held = one_of(look.in_account(code, *ACCOUNTS), code, field="vessel")
        water, found = _water(held, fields)
        wine, proof = _after(held, water, fields)
        at = place(held)
        difference = loss_or_gain(
            at, wine=wine - held.wine_gallons - water, proof=proof - held.proof_gallons,
            purpose="reduce",
        )  # fmt: skip
        slips = (found, slip(fields["gauge"], "Gauge after")) if fields["gauge"] else (found,)
        told = f"{wg(water)} of water into {code}: {wg(wine)}, {pg(proof)} afterwards."
        legs = (Leg(Place("water", held.lot.code), at, "reduce", 0, water), *difference)
        asked = (*room_question(fields["vessel"], wine, look), *_gained(held, proof))
        return Plan(legs, slips=slips, lines=(told,), questions=asked)


def strength(held: Held) -> Decimal:
    """The book strength of *held* in degrees of proof, unrounded. BadFact without gallons."""
    if not held.wine_gallons:
        raise BadFact(f"The book has no gallons in {held.vessel.code} to reduce.", field="vessel")
    return min(Decimal(200), Decimal(held.proof_gallons * 100) / held.wine_gallons)


def _water(held: Held, fields: Fields) -> tuple[int, Slip]:
    """The water in hundredths of a gallon, and how it was found."""
    proof, target = strength(held), fields["to_proof"]
    have = to_decimal(held.wine_gallons)
    readings = (("in the book", f"{wg(held.wine_gallons)} at {proof:.1f} proof"),)
    if target is None:
        return hundredths(fields["water"]), Slip("Water", readings, ("As measured.",))
    if target >= proof:
        raise BadFact(
            f"{held.vessel.code} is at {proof:.1f} proof by the book; cut to less than that.",
            field="to_proof",
        )
    needed = gauging.water_to_reduce(have, proof, target)
    naive = have * proof / target - have
    steps = (
        f"The alcohol stays, the weight adds up (27 CFR 30.64): {needed:.2f} gal of water.",
        f"Volumes alone would say {naive:.2f} gal; mixing contracts.",
    )
    return hundredths(needed), Slip("Water", readings, steps, (("water", wg(hundredths(needed))),))


def _after(held: Held, water: int, fields: Fields) -> tuple[int, int]:
    """(wine, proof) hundredths after mixing: by gauge, else by the book with contraction."""
    if fields["gauge"]:
        return gallons(fields["gauge"])
    parts = [(to_decimal(held.wine_gallons), strength(held)), (to_decimal(water), Decimal(0))]
    mixed, _ = gauging.blend(parts)
    return hundredths(mixed), held.proof_gallons


def _gained(held: Held, proof: int) -> tuple[Question, ...]:
    more = proof - held.proof_gallons
    if more <= max(10, held.proof_gallons // 200):
        return ()
    text = f"The gauge finds {pg(more)} more than the book. Water brings none. Keep it as a gain?"
    return (Question("gauge-gain", text),)
