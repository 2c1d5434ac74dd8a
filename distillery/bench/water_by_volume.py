"""Water to add to reach a proof, by volume (27 CFR 30.66)."""

from distillery.bench.base import BenchForm, Calculation, Fields, below
from distillery.bench.figures import gal, proof, room, typed
from distillery.bench.naive import naive_steps
from distillery.forms import QuantityField
from ledger import gauging
from ledger.gauging import specific_gravity
from ledger.plan import Slip


class WaterByVolumeForm(BenchForm):
    """What there is, and the proof wanted."""

    volume = QuantityField("volume", above=1, label="Gallons at 60 °F")
    proof = QuantityField("proof", label="Proof at 60 °F")
    to_proof = QuantityField("proof", label="Cut to proof")


class WaterByVolume(Calculation):
    """The alcohol stays and the weights add up; the mixture takes less room than its parts."""

    slug = "water-by-volume"
    title = "Water to add, by volume"
    group = "Reduce and blend"
    form = WaterByVolumeForm
    operation = "reduce"

    def work(self, fields: Fields) -> Slip:
        """The water, the volume afterwards, and how far off the sum of volumes is."""
        have = fields["volume"]
        strength, to = below(fields)
        water = gauging.water_to_reduce(have, strength, to)
        after = have * strength / to
        steps = (
            f"The alcohol stays: {gal(have)} x {strength:f} / {to:f} = {gal(after)} afterwards.",
            f"The weights add up: {gal(after)} x {specific_gravity(to):.5f} - {gal(have)} x "
            f"{specific_gravity(strength):.5f} = {gal(water)} of water (27 CFR 30.66).",
            f"{gal(have)} and {gal(water)} come to {gal(after)}: {room(have + water, after)}.",
            *naive_steps(have, first=strength, second=strength * 0, to=to),
        )
        readings = (("Spirits", f"{gal(have)} at {proof(strength)}"), ("Wanted", proof(to)))
        result = (("water", gal(water)), ("afterwards", gal(after)))
        return Slip(self.title, readings, steps, result)

    def carried(self, fields: Fields) -> dict[str, str]:
        """The water added."""
        return {"water": typed(gauging.water_to_reduce(fields["volume"], *below(fields)))}
