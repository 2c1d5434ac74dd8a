"""Bottle sizes the law knows, and what a number of bottles is worth by its label.

Sizes: 27 CFR 5.203(a), one list for bottles and cans since T.D. TTB-200 (90 FR 1876, 10 Jan
2025). Liters to wine gallons: 27 CFR 19.582. Proof gallons in cases: 27 CFR 30.52.
"""

from collections.abc import Iterable
from decimal import Decimal

from ledger.quantities import to_hundredths

SIZES_ML = (
    3750, 3000, 2000, 1800, 1750, 1500, 1000, 945, 900, 750, 720, 710, 700, 570, 500, 475, 375,
    355, 350, 331, 250, 200, 187, 100, 50,
)  # fmt: skip
GALLONS_PER_LITER = Decimal("0.264172")


def is_standard_size(bottle_ml: int) -> bool:
    """Whether 27 CFR 5.203(a) lists this size."""
    return bottle_ml in SIZES_ML


def worth(
    parts: Iterable[tuple[int, int]], *, bottle_ml: int, booked: tuple[int, int] = (0, 0)
) -> tuple[int, int]:
    """(wine gallons, proof gallons) in hundredths of bottles less what was *booked* before.

    *parts* are (bottles, proof in tenths). The sum is rounded half up once (27 CFR 19.582(b):
    converted after multiplying, to the nearest 0.01), so that bottles counted one by one come
    to the same as bottles counted together: 521 of 750 mL at 90 proof are 103.23 and 92.90.
    """
    gallons = proof_gallons = Decimal(0)
    for bottles, proof_tenths in parts:
        more = bottles * bottle_ml * GALLONS_PER_LITER / 1000
        gallons += more
        proof_gallons += more * proof_tenths / 1000
    return to_hundredths(gallons) - booked[0], to_hundredths(proof_gallons) - booked[1]
