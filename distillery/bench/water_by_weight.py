"""Water to add to reach a proof, by weight (27 CFR 30.64)."""

from decimal import Decimal

from distillery.bench.base import BenchForm, Calculation, Fields, below
from distillery.bench.figures import gal, lb, pg, proof, room, typed
from distillery.bench.naive import naive_steps
from distillery.forms import QuantityField
from ledger import gauging
from ledger.errors import BadFact
from ledger.plan import Slip

LEAST = Decimal("0.001")  # pounds; less is no weight of a batch and leaves no gallons to compare


class WaterByWeightForm(BenchForm):
    """The net weight, and the proof wanted."""

    net = QuantityField("weight", above=1, label="Net weight")
    proof = QuantityField("proof", label="Proof at 60 °F")
    to_proof = QuantityField("proof", label="Cut to proof")


class WaterByWeight(Calculation):
    """Proof gallons before over proof gallons a pound after are the pounds after."""

    slug = "water-by-weight"
    title = "Water to add, by weight"
    group = "Reduce and blend"
    form = WaterByWeightForm
    operation = "reduce"

    def work(self, fields: Fields) -> Slip:
        """The water in pounds and gallons, and how far off the sum of volumes is."""
        net = fields["net"]
        strength, to = below(fields)
        water = water_lb(fields)
        before, after = (gauging.proof_gallons_per_pound(one) for one in (strength, to))
        volume = net * gauging.wine_gallons_per_pound(strength)
        then = (net + water) * gauging.wine_gallons_per_pound(to)
        steps = (
            f"{lb(net)} x {before} = {pg(net * before)} (Table 4, {strength:f} proof).",
            f"{pg(net * before)} / {after} = {lb(net + water)} at {to:f} proof (27 CFR 30.64).",
            f"{lb(net + water)} - {lb(net)} = {lb(water)} of water.",
            f"By volume {gal(volume)} and {gal(_gallons(water))} of water come to {gal(then)}: "
            f"{room(volume + _gallons(water), then)}.",
            *naive_steps(volume, first=strength, second=Decimal(0), to=to),
        )
        readings = (("Net weight", lb(net)), ("Proof", proof(strength)), ("Wanted", proof(to)))
        result = (("water", lb(water)), ("or", gal(_gallons(water))))
        return Slip(self.title, readings, steps, result)

    def carried(self, fields: Fields) -> dict[str, str]:
        """The water added, in gallons."""
        return {"water": typed(_gallons(water_lb(fields)))}


def water_lb(fields: Fields) -> Decimal:
    """Pounds of water: 1,000 lb of 200 proof to 190 take 82.03 (27 CFR 30.64). BadFact."""
    net = fields["net"]
    if net < LEAST:
        raise BadFact("Give a weight that a scale can show, such as 240 lb.", field="net")
    strength, to = below(fields)
    before, after = (gauging.proof_gallons_per_pound(one) for one in (strength, to))
    return net * before / after - net


def _gallons(pounds: Decimal) -> Decimal:
    return pounds * gauging.wine_gallons_per_pound(0)
