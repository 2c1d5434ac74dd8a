"""The arithmetic of a filled bottle: what it weighs, what was found in it, what is allowed.

A bottle's milliliters are those at 60 °F (27 CFR 5.1), so its net weight is the same at any
temperature, and a volume read at another one is brought to 60 °F by Table 7 (27 CFR 30.67).
Tolerances: 27 CFR 19.356(b), (c).
"""

from dataclasses import dataclass
from decimal import Decimal

from ledger import gauging
from ledger.gauging import half_up

GRAMS_PER_LB = Decimal("453.59237")  # exact since 1959
ML_PER_GAL = Decimal("3785.411784")  # 231 cubic inches of 2.54 cm each
PROOF_ALLOWED = Decimal("0.6")  # 0.3 per cent by volume either way: 19.356(c)
HEADSPACE_PCT, HEADSPACE_FROM_ML = 8, 200  # 27 CFR 5.202(b)
# 19.356(b): (from this size on in mL, per cent either way), largest first.
FILL_ALLOWED = ((1000, "1.5"), (376, "2.0"), (101, "3.0"), (0, "4.5"))
CENT = "0.01"


def allowed_pct(bottle_ml: int) -> Decimal:
    """Per cent by which one bottle's fill may differ, over or under (27 CFR 19.356(b)).

    1.5 from 1 L on, 2 from 376 to 999 mL, 3 from 101 to 375 mL, 4.5 to 100 mL.
    """
    return next(Decimal(pct) for least, pct in FILL_ALLOWED if bottle_ml >= least)


def band(bottle_ml: int) -> tuple[Decimal, Decimal]:
    """(least, most) milliliters at 60 °F that a bottle may hold; 735 and 765 of 750."""
    part = bottle_ml * allowed_pct(bottle_ml) / 100
    return bottle_ml - part, bottle_ml + part


def is_fill_within(fill_ml: Decimal, bottle_ml: int) -> bool:
    """Whether *fill_ml* lies in the band; its edges belong to it."""
    least, most = band(bottle_ml)
    return least <= fill_ml <= most


def is_proof_within(found: Decimal, label: Decimal) -> bool:
    """Whether *found* is within 0.3 per cent by volume of the label (27 CFR 19.356(c))."""
    return abs(found - label) <= PROOF_ALLOWED


def of_full(fill_ml: Decimal, bottle_ml: int) -> Decimal:
    """Per cent of 100 per cent fill, to 0.01 (27 CFR 19.600)."""
    return half_up(fill_ml * 100 / bottle_ml, CENT)


def grams_per_ml(proof: Decimal) -> Decimal:
    """What a milliliter at 60 °F weighs in air, from Table 5's pounds a gallon (27 CFR 30.65)."""
    pounds = gauging.pounds_per_wine_gallon(half_up(proof, "0.1"))
    return pounds * GRAMS_PER_LB / ML_PER_GAL


def net_grams(fill_ml: Decimal | int, proof: Decimal) -> Decimal:
    """Net weight on the scale: 750 mL of 80 proof are 712.3 g. Grams to 0.1."""
    return half_up(fill_ml * grams_per_ml(proof), "0.1")


def fill_of_grams(net_g: Decimal, proof: Decimal) -> Decimal:
    """Milliliters at 60 °F, to 0.01, of a net weight."""
    return half_up(net_g / grams_per_ml(proof), CENT)


def fill_of_volume(read_ml: Decimal, proof: Decimal, temperature_f: Decimal) -> Decimal:
    """Milliliters at 60 °F, to 0.01, of a volume read at *temperature_f* (Table 7)."""
    return half_up(read_ml * gauging.volume_factor(half_up(proof, "0.1"), temperature_f), CENT)


def shown_ml(fill_ml: Decimal | int, proof: Decimal, temperature_f: Decimal) -> Decimal:
    """What *fill_ml* at 60 °F measures at *temperature_f*: 750 mL of 80 proof 752.3 at 68 °F."""
    factor = gauging.volume_factor(half_up(proof, "0.1"), temperature_f)
    return half_up(fill_ml / factor, "0.1")


@dataclass(frozen=True, slots=True)
class Target:
    """One mark for the filler: milliliters at 60 °F, grams net, milliliters as it is shown."""

    name: str
    fill_ml: Decimal
    net_g: Decimal
    shown_ml: Decimal

    def gross_g(self, tare_g: Decimal) -> Decimal:
        """With the empty bottle."""
        return self.net_g + tare_g


def targets(bottle_ml: int, proof: Decimal, temperature_f: Decimal) -> tuple[Target, ...]:
    """Low, target and high of a bottle at the temperature of the liquid (27 CFR 19.356(b))."""
    least, most = band(bottle_ml)
    rows = (("low", least), ("target", Decimal(bottle_ml)), ("high", most))
    return tuple(
        Target(name, fill, net_grams(fill, proof), shown_ml(fill, proof, temperature_f))
        for name, fill in rows
    )


def headspace_pct(fill_ml: int, brimful_ml: int) -> Decimal:
    """Head space in per cent of the capacity, to 0.1 (27 CFR 5.202(b))."""
    return half_up(Decimal(brimful_ml - fill_ml) * 100 / brimful_ml, "0.1")


def has_too_much_headspace(fill_ml: int, brimful_ml: int) -> bool:
    """Above 8 per cent in a bottle of 200 mL or more (27 CFR 5.202(b))."""
    empty = Decimal(brimful_ml - fill_ml) * 100
    return fill_ml >= HEADSPACE_FROM_ML and empty > HEADSPACE_PCT * brimful_ml
