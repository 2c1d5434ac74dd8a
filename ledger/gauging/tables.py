"""The manual's tables as grids of cells: a printed cell where there is one, else a computed one.

A printed cell always wins. Those that the regulations print in their own examples are always
there; `using` lays further ones over them for as long as a block runs. Every figure
keeps the edition of the cells it was found from.
"""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property, lru_cache
from types import MappingProxyType

from .figures import GaugingError, half_up
from .printed_cells import SHIPPED, Key, Printed, Whole

COMPUTED = "computed table, OIML R 22"

_printed: ContextVar[Mapping[Key, Printed]] = ContextVar(
    "printed", default=MappingProxyType(SHIPPED)
)


@contextmanager
def using(printed: Mapping[Key, Printed]) -> Iterator[None]:
    """Look up with these printed cells over the present ones until the block ends.

    `printed` maps (grid key, line) or (grid key, line, column) to a Printed figure, as
    ("7", 110, 48) to Printed(Decimal("1.005"), "27 CFR 30.67").
    """
    token = _printed.set({**_printed.get(), **printed})
    try:
        yield
    finally:
        _printed.reset(token)


@dataclass(frozen=True, slots=True)
class Cell:
    """One figure of a table, and the edition or editions that it came from."""

    figure: Decimal
    edition: str


@dataclass(frozen=True)
class Grid:
    """One printed column or body: `lines` by `columns` (empty where lines have one figure).

    Figures below zero or above `highest` only help to interpolate; no result comes to them.

    `formula` takes a line, and a column where there are any, and returns the figure unrounded
    or with decimals to spare; a computed cell is that to `step`, the last printed digit.
    """

    key: str
    figure: str
    step: str
    formula: Callable[..., Decimal]
    lines: tuple[Whole, ...]
    columns: tuple[Whole, ...] = ()
    highest: Decimal | None = None

    def at(self, *place: Whole) -> Cell:
        """The cell at a place of the grid. Raises GaugingError where no mixture has a figure."""
        if found := _printed.get().get((self.key, *place)):
            return Cell(found.figure, f"printed, {found.source}")
        return Cell(self._computed(*place), COMPUTED)

    def places(self) -> Iterator[tuple[Whole, ...]]:
        """Every place that the printed table has, line by line."""
        for line in self.lines:
            yield from ((line, column) for column in self.columns) if self.columns else ((line,),)

    def has(self, *place: Whole) -> bool:
        """Whether the printed table has a cell at a place."""
        return place in self._places

    @cached_property
    def _places(self) -> frozenset[tuple[Whole, ...]]:
        return frozenset(self.places())

    def shown(self, *place: Whole) -> Cell | None:
        """The cell as a page shows it: None where no mixture has a figure or it is no result."""
        try:
            cell = self.at(*place)
        except GaugingError:
            return None
        if self.highest is not None and not 0 <= cell.figure <= self.highest:
            return None
        return cell

    @cached_property
    def _computed(self) -> Callable[..., Decimal]:
        @lru_cache(maxsize=32768)
        def computed(*place: Whole) -> Decimal:
            return half_up(self.formula(*place), self.step)

        return computed


class Lookup:
    """The cells of a grid as a function of their place, noting the edition of each one used."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.editions: list[str] = []

    def __call__(self, *place: Whole) -> Decimal:
        cell = self.grid.at(*place)
        if cell.edition not in self.editions:
            self.editions.append(cell.edition)
        return cell.figure

    def gives(self, figure: Decimal) -> Cell:
        """A figure made from the cells looked up, with all their editions."""
        return Cell(figure, "; ".join(self.editions))


def line_between(cells: Callable[[int], Decimal], proof: Decimal) -> Decimal:
    """A figure at a proof between whole lines, by a straight line, not yet rounded."""
    below = int(proof)
    if proof == below:
        return cells(below)
    return cells(below) + (cells(below + 1) - cells(below)) * (proof - below)


def grid_of(grids: Mapping[str, Grid], key: str) -> Grid:
    """The grid of a key, as "1" or "4 wine". Raises GaugingError naming those there are."""
    try:
        return grids[key]
    except KeyError:
        raise GaugingError(f"No table is called {key}; there are {', '.join(grids)}.") from None
