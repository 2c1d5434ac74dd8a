"""Alcohol by volume at 60 °F, as this country counts it, against 20 °C, as others do.

The mass of alcohol in a mass of spirits does not change with warmth; volumes do. At 60 °F the
volume is counted against absolute alcohol of 0.7939 (27 CFR 30.11), at 20 °C against
pure ethanol of 789.24 kg/m3 (OIML R 22).
"""

from decimal import Decimal

from distillery.bench.base import BenchForm, Calculation, Fields
from distillery.bench.figures import proof
from distillery.forms import QuantityField
from ledger import gauging
from ledger.gauging import density, half_up, specific_gravity
from ledger.plan import Slip

SIXTY_F = Decimal(140) / 9  # 15.56 °C
STEPS = 40


class AbvAt20CForm(BenchForm):
    """The strength at either temperature."""

    proof = QuantityField("proof", required=False, label="Strength at 60 °F, like 92 or 46 %")
    at_20c = QuantityField("percent", required=False, label="or % by volume at 20 °C")

    def clean(self) -> Fields:
        """One of the two."""
        data = super().clean() or {}
        if not self.errors and (data["proof"] is None) == (data["at_20c"] is None):
            self.add_error("proof", "Give the strength at 60 °F, or that at 20 °C.")
        return data


class AbvAt20C(Calculation):
    """One mass fraction, two volumes."""

    slug = "abv-at-20-c"
    title = "ABV at 60 °F and at 20 °C"
    group = "Strength and weight"
    form = AbvAt20CForm

    def work(self, fields: Fields) -> Slip:
        """Both percentages, by way of the mass fraction."""
        known = fields["proof"]
        strength = proof_at(fields["at_20c"]) if known is None else known
        fraction = mass_fraction(strength)
        abv = f"{half_up(strength / 2, '0.01'):f} %"
        other = f"{half_up(abv_at_20c(strength), '0.01'):f} %"
        steps = (
            f"{abv} at 60 °F is {half_up(fraction * 100, '0.01'):f} % alcohol by mass "
            f"(gravity {specific_gravity(strength):.5f}, 27 CFR 30.11).",
            f"At 20 °C it weighs {density(fraction, 20):.2f} kg/m3, pure ethanol "
            f"{density(1, 20):.2f} (OIML R 22).",
            f"By volume at 20 °C: {other}.",
        )
        given = ("At 20 °C", other) if known is None else ("At 60 °F", abv)
        result = (("ABV at 60 °F", abv), ("ABV at 20 °C", other), ("proof", proof(strength)))
        return Slip(self.title, (given,), steps, result)


def mass_fraction(strength: Decimal) -> Decimal:
    """Mass of alcohol in a mass of spirits of a proof at 60 °F, by its density."""
    wanted = specific_gravity(strength) * density(0, SIXTY_F)
    low, high = Decimal(0), Decimal(1)
    for _ in range(STEPS):
        middle = (low + high) / 2
        low, high = (middle, high) if density(middle, SIXTY_F) > wanted else (low, middle)
    return half_up(low, "0.0000001")


def abv_at_20c(strength: Decimal) -> Decimal:
    """Percent by volume at 20 °C of spirits of a proof at 60 °F."""
    fraction = mass_fraction(strength)
    return fraction * 100 * density(fraction, 20) / density(1, 20)


def proof_at(percent: Decimal) -> Decimal:
    """Proof at 60 °F of spirits of *percent* by volume at 20 °C. Raises GaugingError above all."""
    if percent > abv_at_20c(Decimal(200)):
        raise gauging.GaugingError(
            f"{percent:f} % at 20 °C is stronger than 200 proof at 60 °F: read again."
        )
    low, high = Decimal(0), Decimal(200)
    for _ in range(24):
        middle = (low + high) / 2
        low, high = (middle, high) if abv_at_20c(middle) < percent else (low, middle)
    return half_up((low + high) / 2, "0.001")
