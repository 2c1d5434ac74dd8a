"""From an entry forward: the cells of the reports that its movements landed in."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from ledger.models import Entry, Movement
from ledger.totals import Key
from reports.behind import measure_of, shape_of
from reports.behind_all import is_summed
from reports.filled import FilledForm, FilledLine, FilledPart
from reports.month_book import read_book
from reports.month_end import forms_of
from reports.redistilled import key_of


@dataclass(frozen=True, slots=True)
class Landing:
    """One cell that one movement fills, and what it adds to it in hundredths."""

    movement: Movement
    form: FilledForm
    part: FilledPart
    row: int
    line: FilledLine
    column: str
    value: int


def month_of_entry(entry: Entry) -> date:
    """The month whose reports an entry counts in: the one it amends, else its own."""
    return (entry.amends or entry.period).month


def landed(entry: Entry) -> list[Landing]:
    """The cells that *entry* is part of, form by form in line order; totals are left out."""
    book = read_book(entry.premises, month_of_entry(entry))
    rows = entry.movements.select_related("from_vessel", "to_vessel").order_by("leg")
    moved = [(key_of(row, book), row) for row in rows]
    return [one for form in forms_of(book).values() for one in _in_form(form, moved)]


def _in_form(form: FilledForm, moved: list[tuple[Key, Movement]]) -> Iterator[Landing]:
    for part in form.parts:
        shape = shape_of(form, part.part)
        keys = [column.key for column in part.columns if not column.is_total]
        for place, line in enumerate(part.lines):
            if is_summed(shape, line):
                continue
            for column in (key for key in keys if key in line.cells):
                signs: dict[Any, int] = dict(line.cells[column].behind)
                for key, row in moved:
                    value = signs.get(key, 0) * getattr(row, measure_of(shape, column))
                    if value:
                        yield Landing(row, form, part, place, line, column, value)
