"""Every movement of a month with the cells it fills: one query for all forms."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Q

from distillery.pages.sentences import RELATED
from ledger.models import Movement
from ledger.totals import Key
from reports.behind import measure_of, shape_of
from reports.filled import FilledForm, FilledLine
from reports.forms.shape import Part
from reports.month_book import MonthBook
from reports.redistilled import key_of


@dataclass(frozen=True, slots=True)
class Behind:
    """One movement in one cell: where the figure stands and what the movement adds to it."""

    part: str
    row: int
    number: str
    column: str
    movement: Movement
    value: int


def month_movements(book: MonthBook) -> dict[Key, list[Movement]]:
    """The movements that count in the month, by flow, in the order they happened."""
    found: dict[Key, list[Movement]] = defaultdict(list)
    if book.period is None:
        return found
    mine = Q(period=book.period, amends=None) | Q(amends=book.period)
    rows = Movement.objects.filter(mine).select_related("entry__premises", *RELATED)
    for row in rows.order_by("at", "entry__number", "leg"):
        found[key_of(row, book)].append(row)
    return found


def behind_form(form: FilledForm, moved: dict[Key, list[Movement]]) -> Iterable[Behind]:
    """What is behind each figure of *form* that is neither a total nor a balance."""
    for part in form.parts:
        shape = shape_of(form, part.part)
        keys = [column.key for column in part.columns if not column.is_total]
        for place, line in enumerate(part.lines):
            if is_summed(shape, line):
                continue
            for key in keys:
                measure = measure_of(shape, key)
                for flow, sign in line.cells[key].behind if key in line.cells else ():
                    for row in moved.get(flow, ()):
                        value = sign * getattr(row, measure)
                        if value:
                            yield Behind(part.part, place, line.number, key, row, value)


def is_summed(shape: Part, line: FilledLine) -> bool:
    """Whether *line* is a total or a balance: made of other lines or of what was there before."""
    own = shape.line(line.of)
    return bool(own.sums or own.opening or own.closing or own.counted)
