"""One sheet of a record as a ruled table on the page; blank columns are told in a sentence."""

from typing import Any

import django_tables2 as tables
from django.http import HttpRequest
from django.urls import reverse
from django.utils.html import format_html

from distillery.records.base import ENTRY, HAPPENED, Column, Kind, Row, Sheet
from distillery.records.shown import parted, text
from distillery.tables import PAPER, paged

PER_PAGE = 50
_FIGURE = {"td": {"class": "number"}, "th": {"class": "number"}}


class RowTable(tables.Table):
    """Rows of a record; its columns are given when it is made, ``label`` names it by its sheet."""

    label = "Rows"

    class Meta:
        template_name = "records/table.html"
        attrs = PAPER
        orderable = False
        empty_text = "Nothing of this kind in these days."


def _column(one: Column) -> tuple[str, tables.Column]:
    is_when = "date" in one.name or one.name == HAPPENED.name
    attrs = _FIGURE if one.is_figure else {"td": {"class": "when"}} if is_when else {}
    return one.name, tables.Column(verbose_name=one.head, empty_values=(), attrs=attrs)


def _cells(row: Row, columns: tuple[Column, ...]) -> dict[str, Any]:
    cells: dict[str, Any] = {one.name: text(row.cells.get(one.name)) for one in columns}
    if row.entry is not None and ENTRY.name in cells:
        cells[ENTRY.name] = format_html(
            '<a href="{}">№ {}</a>',
            reverse("entry", args=[row.entry.number]),
            row.entry.number,
        )
    return {**cells, "is_total": row.is_total}


def table_of(
    request: HttpRequest, kind: Kind, sheet: Sheet, place: int
) -> tuple[RowTable | None, tuple[Column, ...]]:
    """(the sheet's table at its page, columns blank in every row); None where all are blank."""
    full, blank = parted(kind.all_columns, sheet.rows)
    if not full:
        return None, blank
    rows = [_cells(row, full) for row in sheet.rows]
    table = RowTable(rows, extra_columns=[_column(one) for one in full], prefix=f"s{place}-")
    table.label = f"Rows of sheet {place + 1}"
    return paged(request, table, per_page=PER_PAGE), blank
