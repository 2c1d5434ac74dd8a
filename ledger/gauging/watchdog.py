"""The formula as a watchdog over printed cells: how far an entered one is from it."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from .figures import GaugingError, Number, exact
from .printed_cells import Whole
from .table1 import TABLE_1
from .table4 import TABLE_4_PROOF, TABLE_4_WINE, TABLE_5_PROOF, TABLE_5_WINE
from .table6 import TABLE_6_AIR, TABLE_6_ALCOHOL, TABLE_6_VACUUM, TABLE_6_WATER
from .table7 import TABLE_7
from .tables import Grid, grid_of

GRIDS = {
    grid.key: grid
    for grid in (
        TABLE_1,
        TABLE_4_WINE,
        TABLE_4_PROOF,
        TABLE_5_WINE,
        TABLE_5_PROOF,
        TABLE_6_ALCOHOL,
        TABLE_6_WATER,
        TABLE_6_AIR,
        TABLE_6_VACUUM,
        TABLE_7,
    )
}
TABLE_1_LIMIT, TABLE_4_LIMIT, TABLE_7_LIMIT = Decimal("0.3"), Decimal("3e-5"), Decimal("0.001")


def _table_1_limit(computed: Decimal, place: tuple[Whole, ...]) -> Decimal | None:
    """Below 50 F and 40 proof nothing printed was there to measure the formula against."""
    return TABLE_1_LIMIT if computed > 40 and 50 <= place[1] <= 100 else None


LIMITS: dict[str, Callable[[Decimal, tuple[Whole, ...]], Decimal | None]] = {
    "1": _table_1_limit,
    "4 wine": lambda computed, place: TABLE_4_LIMIT,
    "4 proof": lambda computed, place: TABLE_4_LIMIT,
    "7": lambda computed, place: TABLE_7_LIMIT,
}


@dataclass(frozen=True, slots=True)
class Distance:
    """How far an entered cell is from the formula; `limit` is None where none is known."""

    computed: Decimal
    difference: Decimal
    limit: Decimal | None

    @property
    def is_doubtful(self) -> bool:
        """Whether the cell is likely a slip of the pen: farther off than print has been seen."""
        return self.limit is not None and abs(self.difference) > self.limit


def distance(key: str, *place: Whole, figure: Number) -> Distance:
    """The Distance of a `figure` entered at a place of a grid, "7" at 110 proof and 48 F.

    Limits, above which no cell printed in 27 CFR part 30 was found: 0.3 proof in Table 1 above
    40 proof from 50 to 100 F, 0.00003 in Table 4, 0.001 in Table 7. Raises GaugingError
    for an unknown key and for a place that is not on the grid.
    """
    grid: Grid = grid_of(GRIDS, key)
    if not grid.has(*place):
        there = ", ".join(map(str, place))
        raise GaugingError(f"Table {key} has no cell at {there}.")
    computed = grid.formula(*place)
    limit = LIMITS[key](computed, place) if key in LIMITS else None
    return Distance(computed, exact(figure, name="cell") - computed, limit)
