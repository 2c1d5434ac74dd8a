"""Reduce in two stages: most of the water, a gauge, then the rest (27 CFR 30.66, 19.283)."""

from decimal import Decimal

from distillery.bench.base import BenchForm, Calculation, Fields, below, both_or_neither, tenth
from distillery.bench.figures import gal, proof, room, typed
from distillery.forms import QuantityField
from ledger import gauging
from ledger.errors import BadFact
from ledger.plan import Slip

USUAL_SHARE = Decimal(90)


class StagedReductionForm(BenchForm):
    """What there is, the proof wanted, the share first, and the gauge after that when taken."""

    volume = QuantityField("volume", above=1, label="Gallons at 60 °F")
    proof = QuantityField("proof", label="Proof at 60 °F")
    to_proof = QuantityField("proof", label="Cut to proof")
    share = QuantityField(
        "percent", required=False, above=1, label="Share of the water first, empty for 90 %"
    )
    found_volume = QuantityField(
        "volume", required=False, above=1, label="Gauge after that: gallons at 60 °F"
    )
    found_proof = QuantityField("proof", required=False, label="and its proof at 60 °F")

    def clean(self) -> Fields:
        """The gauge in between is whole or not taken yet."""
        data = super().clean() or {}
        told = "Give the gallons and the proof of that gauge, or neither."
        both_or_neither(self, "found_volume", "found_proof", told)
        return data


class StagedReduction(Calculation):
    """What the first water leaves is gauged, so that an error of the start does not stay."""

    slug = "staged-reduction"
    title = "Reduce in two stages"
    group = "Reduce and blend"
    form = StagedReductionForm
    operation = "reduce"

    def work(self, fields: Fields) -> Slip:
        """The first water, what the gauge should then find, and the rest."""
        have = fields["volume"]
        strength, to = below(fields)
        whole, first = _waters(fields)
        mixed, then = gauging.blend(((have, strength), (first, Decimal(0))))
        steps = (
            f"In all {gal(whole)} of water bring {gal(have)} from {strength:f} to {to:f} proof "
            "(27 CFR 30.66).",
            f"First {_share(fields):f} % of it: {gal(first)}.",
            f"A gauge should then find {gal(mixed)} at {proof(then)}.",
            f"Volumes alone would say {gal(have + first)}: {room(have + first, mixed)}.",
        )
        readings = (("Spirits", f"{gal(have)} at {proof(strength)}"), ("Wanted", proof(to)))
        if fields["found_volume"] is None:
            result = (("water first", gal(first)), ("rest, by the book", gal(whole - first)))
            return Slip(self.title, readings, steps, result)
        rest, told = _rest(fields, to)
        found = f"{gal(fields['found_volume'])} at {proof(fields['found_proof'])}"
        return Slip(
            self.title, (*readings, ("Gauge in between", found)), (*steps, told),
            (("rest of the water", gal(rest)),),
        )  # fmt: skip

    def carried(self, fields: Fields) -> dict[str, str]:
        """The water to add next."""
        if fields["found_volume"] is None:
            return {"water": typed(_waters(fields)[1])}
        return {"water": typed(_rest(fields, below(fields)[1])[0])}


def _share(fields: Fields) -> Decimal:
    return USUAL_SHARE if fields["share"] is None else fields["share"]


def _waters(fields: Fields) -> tuple[Decimal, Decimal]:
    """All the water, and the first part of it."""
    whole = gauging.water_to_reduce(fields["volume"], *below(fields))
    return whole, gauging.half_up(whole * _share(fields) / 100, "0.01")


def _rest(fields: Fields, to: Decimal) -> tuple[Decimal, str]:
    """The water after the gauge in between. BadFact when that is below the proof wanted."""
    volume, found = fields["found_volume"], tenth(fields, "found_proof")
    if found < to:
        raise BadFact(
            f"{proof(found)} is below {to:f} already: bring it up with stronger spirits.",
            field="found_proof",
        )
    rest = gauging.water_to_reduce(volume, found, to)
    after = gal(volume * found / to)
    return rest, f"From the gauge: {gal(rest)} of water more, {after} at {to:f} proof."
