"""Table 7: the factor that brings a measured volume to 60 F.

The printed table goes by 2 F from 18 to 100 F and by 5 proof, to three decimals. A computed
cell is the ratio of two OIML R 22 densities, and there are such down to 0 F so that a
tank in an unheated warehouse can be gauged too.
"""

from collections.abc import Callable
from decimal import Decimal

from .figures import Number, between, from_float, half_up, proof_figure
from .oiml_r22 import rho
from .strength import celsius, density_at_60f, fraction_from_proof
from .tables import Cell, Grid, Lookup

COLDEST_PRINTED_F, WARMEST_F = 18, 100
DEGREES, PROOFS = 2, 5


def volume_factor(proof: Number, fahrenheit: Number) -> Decimal:
    """Factor [four decimals]: measured volume x factor = volume at 60 F (27 CFR 30.67).

    `proof` 0 to 200 (true proof, 30.25), `fahrenheit` 0 to 100. volume_factor(190, 76) is
    0.991. Raises GaugingError outside.
    """
    return look_up(proof, fahrenheit).figure


def look_up(proof: Number, fahrenheit: Number) -> Cell:
    """As `volume_factor`, with the edition of the cells that the factor was found from."""
    strength = proof_figure(proof)
    warmth = between(fahrenheit, 0, WARMEST_F, name="temperature of the spirits", unit="F")
    cells = Lookup(TABLE_7)
    return cells.gives(half_up(interpolate(cells, strength, warmth), "0.0001"))


def interpolate(
    cells: Callable[[int, int], Decimal], proof: Decimal, fahrenheit: Decimal
) -> Decimal:
    """Factor not yet rounded, by the two rules of 27 CFR 30.67 on any table's `cells(proof, f)`.

    Between temperatures: from the warmer column towards the colder (the text gives the
    half way of odd degrees; a straight line serves the rest). Between proofs: a fifth of the
    difference in the colder column for each degree above the lower proof.
    """
    weaker, colder = int(proof // PROOFS) * PROOFS, int(fahrenheit // DEGREES) * DEGREES
    factor = cells(weaker, colder)
    if fahrenheit > colder:
        warmer = cells(weaker, colder + DEGREES)
        factor = warmer + (factor - warmer) * (colder + DEGREES - fahrenheit) / DEGREES
    if proof > weaker:
        difference = cells(weaker + PROOFS, colder) - cells(weaker, colder)
        factor += difference / PROOFS * (proof - weaker)
    return factor


def formula(proof: int, fahrenheit: int) -> Decimal:
    """The factor [eight decimals] at a proof and degrees F."""
    fraction = fraction_from_proof(float(proof))
    return from_float(rho(fraction, celsius(fahrenheit)) / density_at_60f(proof), 8)


TABLE_7 = Grid(
    key="7",
    figure="factor to 60 F",
    step="0.001",
    formula=formula,
    lines=tuple(range(0, 201, PROOFS)),
    columns=tuple(range(COLDEST_PRINTED_F, WARMEST_F + 1, DEGREES)),
)
