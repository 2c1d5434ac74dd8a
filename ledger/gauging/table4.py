"""Tables 4 and 5: gallons to the pound and pounds to the gallon, as weighed in air at 60 F.

Water weighs 8.32823 pounds a gallon at 60 F in air (27 CFR 30.66, 21.161); spirits weigh that
times their specific gravity in air. Table 4 prints a line for each 0.1 proof, and so a
proof is rounded to 0.1 before it is looked up (30.31(a)).
"""

from decimal import Decimal

from .figures import Number, half_up, proof_figure
from .strength import specific_gravity

WATER_LB_PER_GAL = Decimal("8.32823")
WATER_GAL_PER_LB = Decimal("0.120074")
FIVE_DECIMALS = "0.00001"


def pounds_per_wine_gallon(proof: Number) -> Decimal:
    """Pounds [five decimals] in a wine gallon of spirits of `proof` at 60 F (Table 5)."""
    return half_up(_pounds(_table_line(proof)), FIVE_DECIMALS)


def wine_gallons_per_pound(proof: Number) -> Decimal:
    """Wine gallons [five decimals] in a pound (Table 4); look up by the APPARENT proof.

    For water (proof 0) the law's own 0.120074 (27 CFR 30.41).
    """
    line = _table_line(proof)
    return half_up(1 / _pounds(line), FIVE_DECIMALS) if line else WATER_GAL_PER_LB


def proof_gallons_per_pound(proof: Number) -> Decimal:
    """Proof gallons [five decimals] in a pound of spirits without solids (Table 4)."""
    line = _table_line(proof)
    return half_up(line / 100 / _pounds(line), FIVE_DECIMALS)


def _table_line(proof: Number) -> Decimal:
    return half_up(proof_figure(proof), "0.1")


def _pounds(proof: Decimal) -> Decimal:
    return WATER_LB_PER_GAL * specific_gravity(proof, in_air=True)
