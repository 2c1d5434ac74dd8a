"""What a container weighs when full, and what it holds."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from .figures import Number, amount, half_up
from .table4 import wine_gallons_per_pound
from .table7 import volume_factor

OUNCES = 16


@dataclass(frozen=True, slots=True)
class FillWeight:
    """Net weight of a filled container: pounds and ounces, and the same in hundredths."""

    pounds: int
    ounces: int
    pounds_decimal: Decimal


def fill_weight(*, wine_gallons: Number, proof: Number) -> FillWeight:
    """The FillWeight of `wine_gallons` at 60 F, 27 CFR 30.44(b) and (c).

    Gallons / Table 4's gallons a pound to 0.01; any part of an ounce counts as an ounce. A gallon
    of 194 proof is 6.73 lb, 6 lb 12 oz, 6.75 lb. The law prints 66 lb 2 oz as 66.12; this
    goes up, to 66.13, as the law's other halves do.
    """
    volume_gal = amount(wine_gallons, name="volume", unit="gallons")
    exact = half_up(volume_gal / wine_gallons_per_pound(proof), "0.01")
    ounces = (exact * OUNCES).to_integral_value(rounding=ROUND_CEILING)
    pounds, rest = divmod(int(ounces), OUNCES)
    return FillWeight(pounds, rest, half_up(ounces / OUNCES, "0.01"))


def gallons_at_prevailing(*, net_lb: Number, uncorrected_reading: Number) -> Decimal:
    """Gallons [0.1] at the temperature of the spirits, by weight, 27 CFR 30.62.

    The hydrometer's UNCORRECTED reading follows the density as it is, so Table 4 read at it
    gives gallons not brought to 60 F: 395 lb at a reading of 113.0 fill 51.5 gallons.
    """
    net = amount(net_lb, name="net weight", unit="lb")
    return half_up(net * wine_gallons_per_pound(uncorrected_reading), "0.1")


def true_capacity(*, gallons_at_60f: Number, proof: Number, temperature_f: Number) -> Decimal:
    """Gallons [0.1] that a container holds, full at `temperature_f`, 27 CFR 30.67.

    Gallons at 60 F by weight / Table 7's factor: 55.1 of 190 proof at 76 F fill 55.6.
    """
    volume_gal = amount(gallons_at_60f, name="volume", unit="gallons")
    return half_up(volume_gal / volume_factor(proof, temperature_f), "0.1")
