"""Tables 4 and 5: gallons to the pound and pounds to the gallon, as weighed in air at 60 F.

Water weighs 8.32823 pounds a gallon at 60 F in air (27 CFR 30.66, 21.161); spirits weigh that
times their specific gravity in air. Table 4 prints a line for each 0.1 proof, and so a
proof is rounded to 0.1 before it is looked up (30.31(a)). Table 5 prints whole proofs; a
tenth between them is computed.
"""

from decimal import Decimal

from .figures import Number, between, half_up, proof_figure
from .strength import specific_gravity
from .tables import Cell, Grid

WATER_LB_PER_GAL = Decimal("8.32823")
WATER_GAL_PER_LB = Decimal("0.120074")
FIVE_DECIMALS = "0.00001"
TENTHS = tuple(Decimal(tenth) / 10 for tenth in range(10, 2001))
WHOLE_PROOFS = tuple(range(1, 201))


def pounds_per_wine_gallon(proof: Number) -> Decimal:
    """Pounds [five decimals] in a wine gallon of spirits of `proof` at 60 F (Table 5)."""
    return TABLE_5_WINE.at(_table_line(proof)).figure


def pounds_per_proof_gallon(proof: Number) -> Decimal:
    """Pounds [five decimals] in a proof gallon of spirits of `proof`, 0.1 or more (Table 5)."""
    return TABLE_5_PROOF.at(half_up(between(proof, "0.1", 200, name="proof"), "0.1")).figure


def wine_gallons_per_pound(proof: Number) -> Decimal:
    """Wine gallons [five decimals] in a pound (Table 4); look up by the APPARENT proof.

    For water (proof 0) the law's own 0.120074 (27 CFR 30.41).
    """
    return wine_gallons_cell(proof).figure


def wine_gallons_cell(proof: Number) -> Cell:
    """As `wine_gallons_per_pound`, with its edition."""
    line = _table_line(proof)
    return TABLE_4_WINE.at(line) if line else Cell(WATER_GAL_PER_LB, "printed, 27 CFR 30.41")


def proof_gallons_per_pound(proof: Number) -> Decimal:
    """Proof gallons [five decimals] in a pound of spirits without solids (Table 4)."""
    return proof_gallons_cell(proof).figure


def proof_gallons_cell(proof: Number) -> Cell:
    """As `proof_gallons_per_pound`, with its edition."""
    return TABLE_4_PROOF.at(_table_line(proof))


def _table_line(proof: Number) -> Decimal:
    return half_up(proof_figure(proof), "0.1")


def _pounds(proof: Number) -> Decimal:
    return WATER_LB_PER_GAL * specific_gravity(proof, in_air=True)


TABLE_4_WINE = Grid(
    key="4 wine",
    figure="wine gallons per pound",
    step=FIVE_DECIMALS,
    formula=lambda proof: 1 / _pounds(proof),
    lines=TENTHS,
)
TABLE_4_PROOF = Grid(
    key="4 proof",
    figure="proof gallons per pound",
    step=FIVE_DECIMALS,
    formula=lambda proof: Decimal(proof) / 100 / _pounds(proof),
    lines=TENTHS,
)
TABLE_5_WINE = Grid(
    key="5 wine",
    figure="pounds per wine gallon",
    step=FIVE_DECIMALS,
    formula=_pounds,
    lines=WHOLE_PROOFS,
)
TABLE_5_PROOF = Grid(
    key="5 proof",
    figure="pounds per proof gallon",
    step=FIVE_DECIMALS,
    formula=lambda proof: _pounds(proof) * 100 / Decimal(proof),
    lines=WHOLE_PROOFS,
)
