"""What a filled bottle weighs, and between which weights it passes (27 CFR 19.356(b))."""

from collections.abc import Iterable
from decimal import Decimal

from distillery.bench.base import BenchForm, Calculation, Fields, tenth
from distillery.bench.figures import fahrenheit
from distillery.fill_tests import ML_PER_GAL, Target, allowed_pct, grams_per_ml, targets
from distillery.forms import QuantityField
from distillery.tested_bottles import SIXTY
from ledger.errors import BadFact
from ledger.gauging import half_up
from ledger.plan import Slip


class BottleWeightForm(BenchForm):
    """Size, label proof, warmth of the liquid, empty bottle."""

    size = QuantityField("volume", unit="mL", above=1, label="Bottle, like 750 mL")
    proof = QuantityField("proof", label="Label proof, or % ABV")
    temperature = QuantityField(
        "temperature", required=False, label="Temperature of the liquid, empty for 60 °F"
    )
    tare = QuantityField("small_weight", required=False, above=1, label="Empty bottle")


class BottleWeight(Calculation):
    """Low, target and high, in grams on the scale and in milliliters as they show."""

    slug = "bottle-weight"
    title = "Weights of a filled bottle"
    group = "Strength and weight"
    form = BottleWeightForm

    def work(self, fields: Fields) -> Slip:
        """The band of one bottle as weights."""
        size = int(half_up(fields["size"] * ML_PER_GAL, "1"))
        if size < 1:
            raise BadFact("Give the size of the bottle, like 750 mL.", field="size")
        strength = tenth(fields, "proof")
        warmth = SIXTY if fields["temperature"] is None else Decimal(fields["temperature"])
        marks = targets(size, strength, warmth)
        per_ml = half_up(grams_per_ml(strength), "0.00001")
        steps = [
            f"{size} mL may differ {allowed_pct(size)} % either way (27 CFR 19.356(b)): "
            f"{marks[0].fill_ml:.2f} to {marks[2].fill_ml:.2f} mL at 60 °F.",
            f"A milliliter of {strength:f} proof at 60 °F weighs {per_ml:f} g in air (Table 5, "
            "27 CFR 30.65).",
            "A bottle's milliliters are those at 60 °F (27 CFR 5.1), so its weight is the same "
            "in a warm room.",
        ]
        if warmth != SIXTY:
            told = ", ".join(f"{one.name} {one.shown_ml} mL" for one in marks)
            steps.append(f"At {fahrenheit(warmth)} the liquid shows: {told} (Table 7).")
        readings = [
            ("Bottle", f"{size} mL"), ("Proof", f"{strength:f}"),
            ("Temperature", fahrenheit(warmth)),
        ]  # fmt: skip
        if fields["tare"] is not None:
            readings.append(("Empty bottle", f"{half_up(fields['tare'], '0.1'):,f} g"))
        return Slip(self.title, tuple(readings), tuple(steps), weights(marks, fields["tare"]))


def weights(marks: Iterable[Target], tare: Decimal | None) -> tuple[tuple[str, str], ...]:
    """Net weights, and those on the scale where the empty bottle's is known."""
    rows = list(marks)
    net = [(f"{one.name}, net", f"{one.net_g:,.1f} g") for one in rows]
    if tare is None:
        return tuple(net)
    return (*net, *((f"{one.name}, full", f"{one.gross_g(tare):,.1f} g") for one in rows))
