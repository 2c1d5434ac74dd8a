"""Table 6: water and alcohol by volume in a hundred parts, and specific gravity, by whole proof.

The parts add up to more than a hundred because the mixture shrinks. What the alcohol (gravity
0.7939, 27 CFR 30.11) leaves of a hundred parts' weight is the water.
"""

from decimal import Decimal

from .figures import Number, half_up, proof_figure
from .strength import ABSOLUTE_ALCOHOL_GRAVITY, specific_gravity
from .table4 import FIVE_DECIMALS
from .tables import Cell, Grid, Lookup, line_between

LINES = tuple(range(201))


def parts_of_water(proof: Number) -> Decimal:
    """Gallons of water [0.01] in 100 gallons of spirits: 47.75 at 112 proof (27 CFR 30.66)."""
    return _look_up(TABLE_6_WATER, proof).figure


def gravity_in_air(proof: Number) -> Decimal:
    """Specific gravity in air, 60/60 F [five decimals]: 0.88862 at 141 proof (27 CFR 30.66)."""
    return gravity_cell(proof).figure


def gravity_cell(proof: Number) -> Cell:
    """As `gravity_in_air`, with its edition."""
    return _look_up(TABLE_6_AIR, proof)


def _look_up(grid: Grid, proof: Number) -> Cell:
    cells = Lookup(grid)
    return cells.gives(half_up(line_between(cells, proof_figure(proof)), grid.step))


def _water(proof: Number) -> Decimal:
    alcohol = Decimal(proof) / 2 * Decimal(str(ABSOLUTE_ALCOHOL_GRAVITY))
    return 100 * specific_gravity(proof) - alcohol


TABLE_6_ALCOHOL = Grid(
    key="6 alcohol",
    figure="parts of alcohol",
    step="0.1",
    formula=lambda proof: Decimal(proof) / 2,
    lines=LINES,
)
TABLE_6_WATER = Grid(
    key="6 water", figure="parts of water", step="0.01", formula=_water, lines=LINES
)
TABLE_6_AIR = Grid(
    key="6 air",
    figure="specific gravity in air",
    step=FIVE_DECIMALS,
    formula=lambda proof: specific_gravity(proof, in_air=True),
    lines=LINES,
)
TABLE_6_VACUUM = Grid(
    key="6 vacuum",
    figure="specific gravity in vacuum",
    step=FIVE_DECIMALS,
    formula=specific_gravity,
    lines=LINES,
)
