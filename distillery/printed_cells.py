"""The plant's own printed cells, ready for the tables, and their import from a file."""

import csv
from collections.abc import Iterable, Mapping
from functools import lru_cache

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Count, Max

from distillery.models import PrintedCell
from ledger.gauging.printed_cells import Key, Printed
from ledger.models import Premises

HEAD = ("table", "line", "column", "figure")


class BadCells(Exception):
    """A file of cells that cannot be taken: ``lines`` are sentences, each with its number."""

    def __init__(self, lines: list[str]) -> None:
        super().__init__(" ".join(lines))
        self.lines = lines


def cells_for(premises: Premises) -> Mapping[Key, Printed]:
    """Every printed cell of *premises* by its key; one small query unless some have changed."""
    rows = PrintedCell.objects.filter(premises=premises)
    state = rows.aggregate(count=Count("pk"), newest=Max("entered_at"), last=Max("pk"))
    return _read(premises.pk, state["count"], state["newest"], state["last"])


@lru_cache(maxsize=8)
def _read(premises: int, count: int, newest: object, last: object) -> Mapping[Key, Printed]:
    """The cells; the other arguments tell one state of the table from another."""
    del newest, last
    if not count:
        return {}
    rows = PrintedCell.objects.filter(premises_id=premises)
    return {row.key: row.printed for row in rows.iterator()}


def _cell(premises: Premises, source: str, row: list[str], *, keep: bool) -> PrintedCell:
    """The checked cell of one line. Raises ValidationError."""
    if len(row) != len(HEAD):
        raise ValidationError(f"Give {len(HEAD)} columns: {', '.join(HEAD)}.")
    grid, line, column, figure = (text.strip() for text in row)
    cell = PrintedCell(
        premises=premises, grid=grid, line=line, column=column, figure=figure, source=source,
        is_kept_anyway=keep,
    )  # fmt: skip
    cell.full_clean(validate_unique=False, validate_constraints=False)
    return cell


def import_cells(premises: Premises, lines: Iterable[str], *, keep: bool = False) -> int:
    """Take a CSV of cells: a line ``source: …``, the head, then the cells. All or nothing.

    A cell already there is replaced. *keep* takes figures far from the formula too. Returns how
    many were taken. Raises BadCells with a sentence for each bad line.
    """
    rows = list(csv.reader(lines))
    if not rows or not rows[0] or not rows[0][0].lower().startswith("source:"):
        raise BadCells(["Line 1: begin with “source:” and the edition and page of the manual."])
    source = ",".join(rows[0])[len("source:") :].strip()
    if len(rows) < 2 or tuple(text.strip() for text in rows[1]) != HEAD:
        raise BadCells([f"Line 2: the head is {','.join(HEAD)}."])
    cells, wrong = [], []
    for number, row in enumerate(rows[2:], 3):
        try:
            cells.append(_cell(premises, source, row, keep=keep))
        except ValidationError as error:
            wrong.append(f"Line {number}: {' '.join(error.messages)}")
    if wrong:
        raise BadCells(wrong)
    with transaction.atomic():
        for cell in cells:
            PrintedCell.objects.update_or_create(
                premises=premises, grid=cell.grid, line=cell.line, column=cell.column,
                defaults={"figure": cell.figure, "source": source, "is_kept_anyway": keep},
            )  # fmt: skip
    return len(cells)
