"""The workbook: its formulas recompute the form, and the movements add up to each figure.

The figures compared with are those of the form itself, which other tests hold against the law;
openpyxl, a general library, reads the file back.
"""

import re
from decimal import Decimal
from io import BytesIO

import pytest
from openpyxl import load_workbook

from ledger.quantities import to_decimal
from reports.filing import Wanted, render
from reports.month_end import filings_of
from tests.reports.months import FEBRUARY, JANUARY, MARCH, remove

MONTHS = (JANUARY, FEBRUARY, MARCH)
CELL = re.compile(r"^[A-Z]+[0-9]+$")


def workbook(book, month, form=""):
    return load_workbook(BytesIO(render(book.premises, month, Wanted(form), "xlsx")))


def value(sheet, address):
    """A cell worked out as a spreadsheet would: a number, or a sum of cells."""
    held = sheet[address].value
    if isinstance(held, str) and held.startswith("="):
        parts = held[1:].split("+")
        assert all(CELL.match(part) for part in parts)
        return sum((value(sheet, part) for part in parts), Decimal(0))
    return Decimal(str(held or 0)).quantize(Decimal("0.01"))


def rows_of(sheet, heading):
    """The rows under a part's heading, by their place, until an empty one."""
    rows = list(sheet.iter_rows())
    at = next(n for n, row in enumerate(rows) if str(row[0].value) == heading) + 2
    found = []
    while at < len(rows) and any(cell.value is not None for cell in rows[at]):
        found.append(rows[at])
        at += 1
    return found


@pytest.mark.parametrize("month", MONTHS, ids=lambda month: f"{month:%Y-%m}")
@pytest.mark.parametrize("slug", ["production", "storage", "processing"])
def test_the_formulas_recompute_every_figure(book, month, slug):
    source = "domestic" if slug == "storage" else ""
    form = filings_of(book.premises, month).forms[slug, source]
    sheet = workbook(book, month, slug).worksheets[0]
    for part in form.parts:
        heading = f"Part {part.part} · {part.title}" if part.part else part.title
        rows = rows_of(sheet, heading)
        for line, row in zip(part.lines, rows, strict=False):
            for at, column in enumerate(part.columns, start=2):
                if column.key in line.cells:
                    expected = to_decimal(line.cells[column.key].value)
                    assert value(sheet, row[at].coordinate) == expected, (line.number, column.key)


def test_totals_are_formulas(book):
    form = filings_of(book.premises, MARCH).forms["processing", ""]
    rows = rows_of(workbook(book, MARCH, "processing").worksheets[0], "Part I · Bulk ingredients")
    totals = [
        row[at].value
        for line, row in zip(form.part("I").lines, rows, strict=False) if line.is_total
        for at, column in enumerate(form.part("I").columns, start=2) if column.key in line.cells
    ]  # fmt: skip
    assert totals
    assert all(text.startswith("=") for text in totals)


@pytest.mark.parametrize("month", MONTHS, ids=lambda month: f"{month:%Y-%m}")
def test_the_movements_behind_a_figure_add_up_to_it(book, month):
    found = workbook(book, month)
    for name in [sheet.title for sheet in found.worksheets if sheet.title.endswith("adds up")]:
        figures = found[name.removesuffix(" adds up")]
        behind = list(found[name.replace("adds up", "behind")].iter_rows(2, values_only=True))
        for row in found[name].iter_rows(2, values_only=True):
            mine = [r for r in behind if r[:3] == row[:3]]
            total = sum(Decimal(str(r[-1])) for r in mine)
            assert value(figures, row[3].rsplit("!", 1)[1]) == total.quantize(Decimal("0.01"))


def test_no_word_is_taken_for_a_formula(book):
    """A document number or kind that begins with = is text."""
    remove(book, "2026-03-28 14:00", "=1+1", 12, 119, 214)
    found = workbook(book, MARCH)
    texts = [
        cell.value for sheet in found.worksheets for row in sheet.iter_rows() for cell in row
        if isinstance(cell.value, str) and "1+1" in cell.value
    ]  # fmt: skip
    assert texts
    assert all(text.startswith("'") for text in texts)


def test_every_sheet_says_it_is_a_worksheet(book):
    sheet = workbook(book, MARCH, "storage").worksheets[0]
    assert "Not tax advice" in str(sheet["A3"].value)
