"""Water to reduce and blends, by mass: mixed water and alcohol take less room than apart.

Planning figures, kept to six decimals; the gauge of record after mixing is a new gauge
(27 CFR 19.283). Volumes are wine gallons at 60 F throughout.
"""

from collections.abc import Iterable
from decimal import Decimal

from .figures import GaugingError, Number, amount, from_float, half_up, proof_figure
from .oiml_r22 import rho
from .strength import (
    ABSOLUTE_ALCOHOL_GRAVITY,
    SIXTY_F,
    STATUTORY_FRACTION,
    WATER_DENSITY,
    proof_from_fraction,
    specific_gravity,
)

KEPT = "0.000001"


def proof_gallons(wine_gallons: Number, proof: Number) -> Decimal:
    """Wine gallons at 60 F x proof / 100, not rounded (27 CFR 30.51, 30.52)."""
    volume_gal = amount(wine_gallons, name="volume", unit="gallons")
    return volume_gal * proof_figure(proof) / 100


def water_to_reduce(wine_gallons: Number, proof: Number, to_proof: Number) -> Decimal:
    """Gallons of water that bring spirits of `proof` down to `to_proof`, shrinkage included.

    The rule of 27 CFR 30.66 (alcohol given / alcohol wanted x water wanted - water given)
    with the contents computed, not printed: 100 gallons of 112 proof to 100 proof take 12.43.
    Raises GaugingError if `to_proof` is zero or above `proof`.
    """
    volume_gal = amount(wine_gallons, name="volume", unit="gallons")
    given, wanted = proof_figure(proof), proof_figure(to_proof, name="wanted proof")
    if not 0 < wanted <= given:
        raise GaugingError(
            f"Water brings {given:f} proof down to a proof above 0 and not above {given:f}; "
            f"{wanted:f} was asked for."
        )
    reduced_gal = volume_gal * given / wanted
    water = reduced_gal * specific_gravity(wanted) - volume_gal * specific_gravity(given)
    return half_up(water, KEPT)


def blend(parts: Iterable[tuple[Number, Number]]) -> tuple[Decimal, Decimal]:
    """(wine gallons, proof) of a mixture of `(wine_gallons, proof)` parts; water is proof 0.

    Mass and alcohol are kept; the volume is what the mixture fills at 60 F. Both results have
    six decimals. Raises GaugingError if there is nothing to mix.
    """
    checked = [
        (amount(volume, name="volume", unit="gallons"), proof_figure(proof))
        for volume, proof in parts
    ]
    mass = float(sum(volume * specific_gravity(proof) for volume, proof in checked))
    alcohol = float(sum(volume * proof for volume, proof in checked)) / 200
    if not mass:
        raise GaugingError("A blend needs at least one part with a volume above zero.")
    fraction = alcohol * ABSOLUTE_ALCOHOL_GRAVITY * STATUTORY_FRACTION / mass
    volume_gal = mass * WATER_DENSITY / rho(fraction, SIXTY_F)
    return from_float(volume_gal, 6), from_float(min(proof_from_fraction(fraction), 200.0), 6)
