"""What a barrel or a bottle weighs filled at a temperature (27 CFR 30.44, 30.65, 30.67)."""

from decimal import ROUND_CEILING, Decimal

from distillery.bench.base import BenchForm, Calculation, Fields
from distillery.bench.figures import fahrenheit, lb, pg, typed
from distillery.forms import QuantityField
from ledger import gauging
from ledger.plan import Slip
from ledger.units import show

SMALL_GAL = 10  # up to here packages are weighed in ounces, above in half pounds (30.44)
OUNCES = 16


class FillWeightForm(BenchForm):
    """What it holds, the strength, the temperature and the empty weight."""

    volume = QuantityField("volume", above=1, label="Fill, like 53 gal or 750 ml")
    proof = QuantityField("proof", label="Proof at 60 °F")
    temperature = QuantityField(
        "temperature", required=False, label="Temperature when filled, empty for 60 °F"
    )
    tare = QuantityField("weight", required=False, label="Empty weight")


class FillWeight(Calculation):
    """The gallons at 60 °F times the pounds a gallon."""

    slug = "fill-weight"
    title = "Fill weight of a barrel or bottle"
    group = "Strength and weight"
    form = FillWeightForm
    operation = "fill-barrels"

    def work(self, fields: Fields) -> Slip:
        """Net weight, gross weight where the empty weight is given, and proof gallons."""
        volume, strength = fields["volume"], gauging.half_up(fields["proof"], "0.1")
        factor, at_60f = _at_60f(fields)
        per_gal = gauging.pounds_per_wine_gallon(strength)
        net = at_60f * per_gal
        steps = (
            f"Table 7: factor {factor:f} at {strength:f} proof, {_warmth(fields)}.",
            f"{volume:f} gal x {factor:f} = {at_60f:.4f} gal at 60 °F (27 CFR 30.67).",
            f"{at_60f:.4f} gal x {per_gal} lb = {lb(net)} (Table 5, 27 CFR 30.65).",
            f"On the scale {scale_words(at_60f, net)} (27 CFR 30.44).",
            f"In grams {show(net, 'weight', 'g')}.",
        )
        readings = [
            ("Fill", f"{volume:f} gal"),
            ("Proof", f"{strength:f}"),
            ("Temperature", _warmth(fields)),
        ]
        result = [("net weight", lb(net)), ("proof gallons", pg(at_60f * strength / 100))]
        if fields["tare"] is not None:
            readings.append(("Empty weight", lb(fields["tare"])))
            result.insert(0, ("gross weight", lb(net + fields["tare"])))
        return Slip(self.title, tuple(readings), steps, tuple(result))

    def carried(self, fields: Fields) -> dict[str, str]:
        """Gallons in each barrel and the proof, for a package above 10 gallons."""
        _, at_60f = _at_60f(fields)
        if at_60f <= SMALL_GAL:
            return {}
        return {"each": typed(at_60f), "proof": typed(fields["proof"], "0.1")}


def scale_words(at_60f_gal: Decimal, net_lb: Decimal) -> str:
    """Above 10 gallons the nearest half pound, else pounds and ounces.

    Ounces as in 27 CFR 30.44(c): pounds to two decimals, then any part of an ounce is a whole one.
    """
    if at_60f_gal > SMALL_GAL:
        return f"{gauging.half_up(net_lb * 2, '1') / 2:,.1f} lb"
    pounds = gauging.half_up(net_lb, "0.01")
    ounces = (pounds * OUNCES).to_integral_value(ROUND_CEILING)
    return f"{ounces // OUNCES:f} lb {ounces % OUNCES:f} oz"


def _at_60f(fields: Fields) -> tuple[Decimal, Decimal]:
    """(factor, gallons at 60 °F)."""
    warmth = fields["temperature"]
    factor = gauging.volume_factor(fields["proof"], 60 if warmth is None else warmth)
    return factor, fields["volume"] * factor


def _warmth(fields: Fields) -> str:
    warmth = fields["temperature"]
    return fahrenheit(Decimal(60) if warmth is None else warmth)
