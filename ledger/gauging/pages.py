"""A whole table as rows for a file or as pages of text, each cell with its edition."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from .printed_cells import Whole
from .table1 import TABLE_1
from .table4 import TABLE_4_PROOF, TABLE_4_WINE, TABLE_5_PROOF, TABLE_5_WINE
from .table6 import TABLE_6_AIR, TABLE_6_ALCOHOL, TABLE_6_VACUUM, TABLE_6_WATER
from .table7 import TABLE_7
from .tables import COMPUTED, Cell, Grid

ACROSS = 12  # columns on a page of text
MARKS = "*+^#@&"


@dataclass(frozen=True, slots=True)
class Table:
    """A table of the manual: one body with columns, or several figures side by side."""

    number: str
    title: str
    line: str
    grids: tuple[Grid, ...]
    column: str = ""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of figures: its heading and how to find the cell of a line."""

    heading: str
    cell: Callable[[Whole], Cell | None]


TABLES = {
    table.number: table
    for table in (
        Table("1", "True proof at 60 F", "reading", (TABLE_1,), column="F"),
        Table("4", "Gallons per pound", "proof", (TABLE_4_WINE, TABLE_4_PROOF)),
        Table("5", "Pounds per gallon", "proof", (TABLE_5_WINE, TABLE_5_PROOF)),
        Table(
            "6",
            "Alcohol and water in 100 parts by volume, and specific gravity",
            "proof",
            (TABLE_6_ALCOHOL, TABLE_6_WATER, TABLE_6_AIR, TABLE_6_VACUUM),
        ),
        Table("7", "Factor that brings a volume to 60 F", "proof", (TABLE_7,), column="F"),
    )
}


def columns(whole: Table) -> list[Column]:
    """The columns of a table, from the left."""
    if not whole.column:
        return [Column(grid.figure, grid.shown) for grid in whole.grids]
    (grid,) = whole.grids
    return [_column(grid, head, whole.column) for head in grid.columns]


def _column(grid: Grid, head: Whole, unit: str) -> Column:
    return Column(f"{head} {unit}", lambda line: grid.shown(line, head))


def cell_rows(whole: Table) -> Iterator[tuple[str, str, str, str]]:
    """(line, column, figure, edition) of every cell, after a row of headings."""
    yield (whole.line, "column", "figure", "edition")
    heads = columns(whole)
    for line in whole.grids[0].lines:
        for head in heads:
            if cell := head.cell(line):
                yield (str(line), head.heading, f"{cell.figure:f}", cell.edition)


def text_lines(whole: Table) -> Iterator[str]:
    """The table as pages of text: computed cells plain, printed ones marked by their source."""
    yield f"Table {whole.number}. {whole.title} (27 CFR part 30)"
    yield f"Cells without a mark: {COMPUTED}."
    marks: dict[str, str] = {}
    heads = columns(whole)
    for start in range(0, len(heads), ACROSS):
        yield ""
        yield from _page(whole, heads[start : start + ACROSS], marks)
    yield ""
    for edition, mark in marks.items():
        yield f"{mark} {edition}"


def _page(whole: Table, heads: list[Column], marks: dict[str, str]) -> Iterator[str]:
    widths = [max(len(head.heading), 7) + 2 for head in heads]
    yield whole.line.rjust(8) + "".join(
        f"{head.heading} ".rjust(width) for head, width in zip(heads, widths, strict=True)
    )
    for line in whole.grids[0].lines:
        cells = (_marked(head.cell(line), marks) for head in heads)
        figures = (cell.rjust(width) for cell, width in zip(cells, widths, strict=True))
        yield f"{line}".rjust(8) + "".join(figures)


def _marked(cell: Cell | None, marks: dict[str, str]) -> str:
    if cell is None:
        return ""
    if cell.edition == COMPUTED:
        return f"{cell.figure:f} "
    return f"{cell.figure:f}{marks.setdefault(cell.edition, _next_mark(len(marks)))}"


def _next_mark(used: int) -> str:
    """The marks in turn, each one more often when they are used up."""
    return MARKS[used % len(MARKS)] * (used // len(MARKS) + 1)
