"""Table 1: true proof at 60 F from a hydrometer reading and its temperature.

The printed table has a cell for each whole reading (0 to 206) and each whole degree (0 to
100 F), to 0.1 proof. A computed cell: the glass hydrometer floats at the density that its
reading has at 60 F, less the swelling of the glass, and OIML R 22 gives the strength of
that density.
"""

from collections.abc import Callable
from decimal import Decimal
from math import floor

from .figures import HIGHEST_PROOF, GaugingError, Number, between, from_float, half_up
from .strength import SIXTY_F, celsius, density_at_60f, fraction_at, proof_from_fraction
from .tables import Cell, Grid, Lookup

HIGHEST_READING, WARMEST_F = 206, 100
# Cubic expansion of the hydrometer's glass per degree C. The law does not state it; every cell
# that 27 CFR 30.23 and 30.61 print is met for 24e-6 to 28.5e-6.
GLASS_EXPANSION = 25e-6


def true_proof(reading: Number, fahrenheit: Number) -> Decimal:
    """Proof at 60 F [0.1] from a proof hydrometer `reading` (0-206) at `fahrenheit` (0-100).

    Where the liquor holds solids this is the apparent proof (27 CFR 30.62).
    true_proof("192.82", "72.15") is 190.0 (27 CFR 30.23). Raises GaugingError outside
    the table and where no mixture of water and alcohol reads so.
    """
    return look_up(reading, fahrenheit).figure


def look_up(reading: Number, fahrenheit: Number) -> Cell:
    """As `true_proof`, with the edition of the cells that the proof was found from."""
    mark = between(reading, 0, HIGHEST_READING, name="hydrometer reading")
    warmth = between(fahrenheit, 0, WARMEST_F, name="reading temperature", unit="F")
    cells = Lookup(TABLE_1)
    proof = half_up(interpolate(cells, mark, warmth), "0.1")
    if proof < 0:
        raise GaugingError(
            f"A reading of {mark:.10g} at {warmth:.10g} F is heavier than water: read again."
        )
    if proof > HIGHEST_PROOF:
        raise GaugingError(
            f"A reading of {mark:.10g} at {warmth:.10g} F is above 200 proof: read again."
        )
    return cells.gives(proof)


def interpolate(
    cells: Callable[[int, int], Decimal], reading: Decimal, fahrenheit: Decimal
) -> Decimal:
    """Proof not yet rounded, by the rule of 27 CFR 30.23 on any table's `cells(reading, f)`.

    Both differences start from the cell at the whole reading and whole degree below.
    """
    mark, warmth = floor(reading), floor(fahrenheit)
    base = cells(mark, warmth)
    proof = base
    if reading > mark:
        proof += (cells(mark + 1, warmth) - base) * (reading - mark)
    if fahrenheit > warmth:
        proof += (cells(mark, warmth + 1) - base) * (fahrenheit - warmth)
    return proof


def formula(reading: int, fahrenheit: int) -> Decimal:
    """Proof [six decimals] at a whole reading and whole degree F.

    Places just outside 0 to 200 proof are kept because a result inside may start from them.
    """
    warmth = celsius(fahrenheit)
    swelling = 1 + GLASS_EXPANSION * (warmth - SIXTY_F)
    fraction = fraction_at(density_at_60f(reading) / swelling, warmth)
    return from_float(proof_from_fraction(fraction), 6)


TABLE_1 = Grid(
    key="1",
    figure="true proof",
    step="0.1",
    formula=formula,
    lines=tuple(range(HIGHEST_READING + 1)),
    columns=tuple(range(WARMEST_F + 1)),
    highest=HIGHEST_PROOF,
)
