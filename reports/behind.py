"""What is behind one figure: the very flows that filled the cell, down to their movements."""

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from django.db.models import Q

from distillery.pages.sentences import RELATED
from ledger.models import Movement
from reports.filled import FilledColumn, FilledForm, FilledLine, FilledPart
from reports.forms.shape import Line, Part
from reports.month_book import MonthBook
from reports.redistilled import key_of, real


class NoSuchCell(LookupError):
    """The form has no figure at that place."""


def shape_of(form: FilledForm, part: str) -> Part:
    """*part* as the edition that filled the form declares it."""
    return next(one for one in form.shape if one.part == part)


def measure_of(shape: Part, column: str) -> str:
    """The field of a movement that *column* adds up."""
    return next(one.measure for one in shape.columns if one.key == column)


@dataclass(frozen=True, slots=True)
class Place:
    """One figure on a filled form."""

    form: FilledForm
    part: FilledPart
    row: FilledLine
    column: FilledColumn

    @property
    def value(self) -> int:
        """The figure in hundredths."""
        return self.row.cells[self.column.key].value

    @property
    def shape(self) -> Part:
        """The part as the edition declares it."""
        return shape_of(self.form, self.part.part)

    @property
    def line(self) -> Line:
        """The form's own line."""
        return self.shape.line(self.row.of)

    @property
    def measure(self) -> str:
        """The field of a movement that the column adds up."""
        return measure_of(self.shape, self.column.key)


@dataclass(frozen=True, slots=True)
class Counted:
    """A movement and what it adds to the figure, in hundredths."""

    movement: Movement
    value: int


def place_on(form: FilledForm, *, part: str, row: str, column: str) -> Place:
    """The figure at a printed place. Raises NoSuchCell."""
    try:
        found = form.part(part)
        line = found.lines[int(row)]
        head = next(one for one in found.columns if one.key == column)
        place = Place(form, found, line, head)
        _ = place.value
    except (KeyError, ValueError, IndexError, StopIteration) as error:
        raise NoSuchCell(f"{form.number} has no figure there.") from error
    return place


def summands(place: Place) -> list[tuple[int, FilledLine]]:
    """(row, line) of the lines that a total adds up; empty for a line of its own."""
    wanted = place.line.sums
    return [
        (number, line)
        for number, line in enumerate(place.part.lines)
        if line.of in wanted and place.column.key in line.cells
    ]


def movements(place: Place, book: MonthBook) -> list[Counted]:
    """The movements behind a figure with their signs, in the order they happened; one query.

    They are found by the same flows that filled the cell, so they add up to it exactly (to the
    month's change, for a balance).
    """
    signs: dict[Any, int] = defaultdict(int)
    for key, sign in place.row.cells[place.column.key].behind:
        signs[key] += sign
    if not signs or book.period is None:
        return []
    mine = Q(period=book.period, amends=None) | Q(amends=book.period)
    rows = Movement.objects.filter(
        mine,
        from_account__in={real(key[0]) for key in signs},
        to_account__in={real(key[1]) for key in signs},
        purpose__in={key[2] for key in signs},
    )
    rows = rows.select_related("entry__reverses", "entry__corrects", *RELATED)
    found = []
    for row in rows.order_by("at", "entry__number", "leg"):
        sign = signs[key_of(row, book)]
        value = sign * getattr(row, place.measure)
        if value:
            found.append(Counted(row, value))
    return found
