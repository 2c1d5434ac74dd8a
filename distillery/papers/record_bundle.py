"""Records as files: one in any format, or the whole set of some days in one archive."""

from collections.abc import Iterable, Iterator
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from distillery.papers.record_pdf import render
from distillery.papers.record_text import as_csv, as_json
from distillery.records.base import Kind
from distillery.records.shown import Facts, facts_of, file_name
from distillery.records.span import Span

CONTENT_TYPES = {
    "pdf": "application/pdf",
    "csv": "text/csv; charset=utf-8",
    "json": "application/json",
}
EPOCH = (1980, 1, 1, 0, 0, 0)  # the archive carries no clock: the same records, the same bytes
_RENDER = {"pdf": render, "csv": as_csv, "json": as_json}


def file_of(kind: Kind, span: Span, format: str, facts: Facts | None = None) -> bytes:
    """One record of the span in *format*, one of CONTENT_TYPES."""
    return _RENDER[format](kind, kind.sheets(span), facts or facts_of(span))


def files_of(
    kinds: Iterable[Kind], span: Span, formats: Iterable[str]
) -> Iterator[tuple[str, bytes]]:
    """(file name, bytes) of every record in every format."""
    facts, formats = facts_of(span), tuple(formats)
    for kind in kinds:
        sheets = kind.sheets(span)
        for format in formats:
            yield file_name(kind, span, format), _RENDER[format](kind, sheets, facts)


def bundle(kinds: Iterable[Kind], span: Span) -> bytes:
    """Every record as PDF, CSV and JSON in one zip archive."""
    out = BytesIO()
    with ZipFile(out, "w", ZIP_DEFLATED) as archive:
        for name, content in files_of(kinds, span, CONTENT_TYPES):
            folder = name.rsplit(".", 1)[1]
            info = ZipInfo(f"{folder}/{name}", EPOCH)
            info.compress_type = ZIP_DEFLATED
            archive.writestr(info, content)
    return out.getvalue()
