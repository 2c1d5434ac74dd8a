"""The faces of a filing: text, CSV and PDF of one sheet; JSON and XLSX of the same figures."""

from collections.abc import Callable, Sequence

from ledger.errors import BadFact
from reports.faces import csv, pdf, text, xlsx
from reports.faces.sheet import Sheet

CONTENT_TYPES = {
    "text": "text/plain; charset=utf-8",
    "json": "application/json",
    "csv": "text/csv; charset=utf-8",
    "pdf": "application/pdf",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
SUFFIXES = {"text": "txt", "json": "json", "csv": "csv", "pdf": "pdf", "xlsx": "xlsx"}

_RENDER: dict[str, Callable[[Sequence[Sheet]], bytes]] = {
    "text": text.render,
    "csv": csv.render,
    "pdf": pdf.render,
}


def check_format(name: str) -> str:
    """*name* if it is a format. Raises BadFact otherwise."""
    if name not in CONTENT_TYPES:
        raise BadFact(f"There is no format “{name}”; one of {', '.join(CONTENT_TYPES)}.")
    return name


def render_sheets(sheets: Sequence[Sheet], format: str) -> bytes:
    """*sheets* as text, csv, pdf, or as a plain workbook."""
    if format == "xlsx":
        return xlsx.render([], sheets)
    return _RENDER[format](sheets)
