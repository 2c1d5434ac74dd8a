"""A filled form: what every face of a filing shows."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

from ledger.totals import Key
from reports.forms.shape import Part


@dataclass(frozen=True, slots=True)
class Cell:
    """One figure in hundredths, and the flows behind it with the sign they count with."""

    value: int = 0
    behind: tuple[tuple[Key, int], ...] = ()


@dataclass(frozen=True, slots=True)
class FilledLine:
    """A line with its cells by column key; no cells where the form is left empty.

    ``number`` is the printed one; ``of`` the number of the form's line it was made from, which
    differs for written-in rows.
    """

    number: str
    caption: str
    cells: Mapping[str, Cell]
    of: str
    status: str = "read"
    note: str = ""
    is_total: bool = False


@dataclass(frozen=True, slots=True)
class FilledColumn:
    """A column as it is shown."""

    key: str
    caption: str
    is_total: bool = False


@dataclass(frozen=True, slots=True)
class FilledPart:
    """A part with its lines in the form's order."""

    part: str
    title: str
    columns: tuple[FilledColumn, ...]
    lines: tuple[FilledLine, ...]
    status: str = "read"
    notes: tuple[str, ...] = ()

    def value(self, line: str, *columns: str) -> int:
        """The sum of *columns* (all that are no total when none is named) over rows of *line*."""
        keys = columns or tuple(column.key for column in self.columns if not column.is_total)
        rows = [row for row in self.lines if row.of == line]
        return sum(row.cells[key].value for row in rows for key in keys if key in row.cells)

    def line(self, number: str) -> FilledLine:
        """The first row of the form's line *number*; KeyError when the part has none."""
        rows = {row.of: row for row in reversed(self.lines)}
        return rows[number]


@dataclass(frozen=True, slots=True)
class FilledForm:
    """One report of one month."""

    slug: str
    number: str
    title: str
    edition: str
    registry: str
    plant: str
    month: date
    status: str
    source: str
    parts: tuple[FilledPart, ...]
    notes: tuple[str, ...]
    through: tuple[int, str]
    shape: tuple[Part, ...] = field(default=(), compare=False)  # as declared; not kept when filed

    def part(self, name: str) -> FilledPart:
        """The part called *name*; KeyError when the form has none."""
        return {part.part: part for part in self.parts}[name]

    def value(self, part: str, line: str, *columns: str) -> int:
        """A figure in hundredths; see FilledPart.value."""
        return self.part(part).value(line, *columns)

    def every_cell(self) -> Iterator[tuple[FilledPart, FilledLine, str, Cell]]:
        """Each cell with its part, line and column key, in the form's order."""
        for part in self.parts:
            for line in part.lines:
                for key, cell in line.cells.items():
                    yield part, line, key, cell
