"""A record of some days for machines: CSV, one line a row, and JSON of the same rows."""

import csv
import json
from collections.abc import Sequence
from io import StringIO

from distillery.records.base import Column, Kind, Sheet
from distillery.records.shown import Facts, plain

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
WHAT = "is_total"


def as_csv(kind: Kind, sheets: Sequence[Sheet], facts: Facts) -> bytes:
    """Heads and columns side by side; figures without thousands, blank where not on record."""
    out = StringIO()
    writer = csv.writer(out)
    writer.writerow([f"{kind.title}, {kind.section}", facts.plant, facts.registry, facts.days])
    names = _names(kind)
    writer.writerow([*(one.head for one in names), "Total"])
    for sheet in sheets:
        for row in sheet.rows:
            cells = [plain(row.cells.get(one.name)) for one in names]
            writer.writerow([*map(_safe, cells), "yes" if row.is_total else ""])
    return out.getvalue().encode()


def _names(kind: Kind) -> tuple[Column, ...]:
    return (*kind.all_heads, *kind.all_columns)


def _safe(cell: str | int | None) -> str | int:
    """Text that no spreadsheet takes for a formula; a figure below zero stays a figure."""
    if not isinstance(cell, str):
        return "" if cell is None else cell
    is_number = cell[1:].replace(".", "", 1).isdigit()
    return f"'{cell}" if cell.startswith(_FORMULA) and not is_number else cell


def as_json(kind: Kind, sheets: Sequence[Sheet], facts: Facts) -> bytes:
    """``{record, section, ..., sheets: [{head, rows}]}``; quantities as decimal text."""
    content = {
        "record": kind.slug,
        "title": kind.title,
        "section": kind.section,
        "plant": facts.plant,
        "premises": facts.registry,
        "days": facts.days,
        "rests_on": facts.foot,
        "columns": {one.name: one.head for one in _names(kind)},
        "sheets": [_sheet(kind, sheet) for sheet in sheets],
    }
    return (json.dumps(content, indent=1, ensure_ascii=False) + "\n").encode()


def _sheet(kind: Kind, sheet: Sheet) -> dict[str, object]:
    rows = [
        {
            **{one.name: plain(row.cells.get(one.name)) for one in kind.all_columns},
            WHAT: row.is_total,
        }
        for row in sheet.rows
    ]
    return {"head": {one.name: plain(cell) for one, cell in sheet.facts}, "rows": rows}
