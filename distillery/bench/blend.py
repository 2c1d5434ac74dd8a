"""A blend of several lots: what it fills and how strong it is (mass and alcohol kept)."""

from decimal import Decimal

from distillery.bench.base import BenchForm, Calculation, Fields
from distillery.bench.figures import gal, pg, proof, room, typed
from distillery.forms import Part, QuantityField, RowsField
from ledger import gauging
from ledger.plan import Slip


class LotPart(Part):
    """One lot of the blend."""

    volume = QuantityField("volume", above=1, label="Gallons at 60 °F")
    proof = QuantityField("proof", label="Proof, 0 for water")


class BlendForm(BenchForm):
    """The lots that go together."""

    lots = RowsField(LotPart, most=40, label="Lots")


class Blend(Calculation):
    """Proof gallons add up (27 CFR 30.51); gallons do not where strengths differ."""

    slug = "blend"
    title = "Blend of several lots"
    group = "Reduce and blend"
    form = BlendForm
    operation = "blend"

    def work(self, fields: Fields) -> Slip:
        """The volume and proof of the mixture, beside the sum of volumes."""
        parts = [(row["volume"], row["proof"]) for row in fields["lots"]]
        mixed, strength = gauging.blend(parts)
        volumes = sum((volume for volume, _ in parts), Decimal(0))
        alcohol = sum((gauging.proof_gallons(*part) for part in parts), Decimal(0))
        naive = alcohol * 100 / volumes
        off = gauging.half_up(strength, "0.01") - gauging.half_up(naive, "0.01")
        steps = (
            f"Proof gallons add up: {pg(alcohol)} (27 CFR 30.51).",
            f"Weights add up too; the mixture fills {gal(mixed)}.",
            f"{pg(alcohol)} in {gal(mixed)} is {proof(strength, '0.01')}.",
            f"Volumes alone would say {gal(volumes)} at {proof(naive, '0.01')}, "
            f"{abs(off):f} proof {'too low' if off >= 0 else 'too high'}: "
            f"{room(volumes, mixed)}.",
        )
        readings = tuple(
            (f"Lot {number}", f"{gal(volume)} at {proof(one)}")
            for number, (volume, one) in enumerate(parts, 1)
        )
        result = (("gallons at 60 °F", gal(mixed)), ("proof", proof(strength)))
        return Slip(self.title, readings, steps, (*result, ("proof gallons", pg(alcohol))))

    def carried(self, fields: Fields) -> dict[str, str]:
        """The gauge that the batch is expected to have."""
        mixed, strength = gauging.blend([(row["volume"], row["proof"]) for row in fields["lots"]])
        volume, found = typed(mixed), typed(strength, "0.1")
        return {"gauge-volume": volume, "gauge-temperature": "60", "gauge-proof": found}
