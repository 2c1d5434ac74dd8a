"""Proof, mass fraction and specific gravity of ethanol-water mixtures at 60 F.

The law's absolute alcohol has a specific gravity of 0.7939 in vacuum at 60/60 F (27 CFR 30.11),
a little above the 0.79382 of the formula's pure ethanol. So 200 proof here is the mixture
that has the law's gravity (0.99974 of ethanol by mass) and proof is counted against it.
"""

from decimal import Decimal
from functools import lru_cache

from .figures import GaugingError, Number, between, from_float, proof_figure
from .oiml_r22 import rho

SIXTY_F = (60 - 32) * 5 / 9
ABSOLUTE_ALCOHOL_GRAVITY = 0.7939
AIR_DENSITY = 1.2
WATER_DENSITY = rho(0, SIXTY_F)
# The formula stays smooth a little past pure water and pure ethanol; the outermost cells of
# Table 1 (a hydrometer warmer than 60 F reads up to 206 in 200 proof spirits) need that margin.
WEAKEST, STRONGEST = -0.05, 1.07


def celsius(fahrenheit: float | Decimal) -> float:
    """Degrees Celsius as a float, for the formula."""
    return (float(fahrenheit) - 32) * 5 / 9


def fraction_at(density_kg_m3: float, warmth_c: float) -> float:
    """Mass fraction whose density is `density_kg_m3` at that temperature.

    Density falls as strength rises, so halving the interval always finds it.
    Raises GaugingError if no mixture is that light or heavy.
    """
    low, high = WEAKEST, STRONGEST
    if not rho(high, warmth_c) <= density_kg_m3 <= rho(low, warmth_c):
        raise GaugingError(
            f"No mixture of water and alcohol weighs {density_kg_m3:.1f} kg/m3 at "
            f"{warmth_c * 9 / 5 + 32:.1f} F: read again."
        )
    for _ in range(48):
        middle = (low + high) / 2
        if rho(middle, warmth_c) > density_kg_m3:
            low = middle
        else:
            high = middle
    return (low + high) / 2


STATUTORY_FRACTION = fraction_at(ABSOLUTE_ALCOHOL_GRAVITY * WATER_DENSITY, SIXTY_F)
_ALCOHOL_DENSITY = STATUTORY_FRACTION * ABSOLUTE_ALCOHOL_GRAVITY * WATER_DENSITY


def proof_from_fraction(fraction: float) -> float:
    """Proof of a mass fraction: alcohol in a volume, against the law's absolute alcohol."""
    return 200 * fraction * rho(fraction, SIXTY_F) / _ALCOHOL_DENSITY


@lru_cache(maxsize=4096)
def fraction_from_proof(proof: float) -> float:
    """Mass fraction of a proof (a float, 0 to 206), by Newton's steps on a nearly straight line."""
    fraction = proof / 250
    for _ in range(40):
        error = proof_from_fraction(fraction) - proof
        slope = (proof_from_fraction(fraction + 1e-5) - proof - error) / 1e-5
        fraction -= error / slope
        if abs(error) < 1e-10:
            break
    return fraction


def density_at_60f(proof: float | Decimal) -> float:
    """Density in vacuum [kg/m3, float] at 60 F."""
    return rho(fraction_from_proof(float(proof)), SIXTY_F)


def specific_gravity(proof: Number, in_air: bool = False) -> Decimal:
    """Specific gravity 60/60 F [eight decimals] of spirits of `proof` (0 to 200), as in Table 6.

    In vacuum, or as weighed in air of 1.2 kg/m3. specific_gravity(200) is 0.7939
    (27 CFR 30.11); in air 141 proof has 0.88866, printed 0.88862 (27 CFR 30.66).
    """
    return gravity_of(proof_figure(proof), AIR_DENSITY if in_air else 0)


def gravity_of(proof: float | Decimal, buoyancy: float) -> Decimal:
    """Specific gravity 60/60 F where the air carries `buoyancy` [kg/m3] of either weight."""
    return from_float((density_at_60f(proof) - buoyancy) / (WATER_DENSITY - buoyancy), 8)


def proof_of(specific_gravity: Number, in_air: bool = False) -> Decimal:
    """Proof at 60 F [four decimals] of a specific gravity 60/60 F; inverse of specific_gravity.

    Raises GaugingError for a liquid heavier than water or lighter than 200 proof spirits:
    solids in the liquor, or a slip of the pen.
    """
    buoyancy = AIR_DENSITY if in_air else 0
    gravity = between(
        specific_gravity, gravity_of(200, buoyancy), 1, name="specific gravity of spirits"
    )
    density = float(gravity) * (WATER_DENSITY - buoyancy) + buoyancy
    proof = proof_from_fraction(fraction_at(density, SIXTY_F))
    return from_float(min(max(proof, 0), 200), 4)
