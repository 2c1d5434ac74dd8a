"""The daily summary of tax: documents, proof gallons at each rate, tax (27 CFR 19.612)."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import groupby

from distillery.records.base import SAME_DAY, Cell, Column, Kind, Row, figure
from distillery.records.span import Span
from reports.records.determined import documents
from reports.tax import Document, Share

NOTHING = Share(Decimal("0.00"), Decimal("0.0"), Decimal("0.00"))


def rows(span: Span) -> Iterator[Row]:
    """A row for each document and rate, and the total of each day."""
    by_number = {entry.number: entry for entry in span.entries}
    for day, group in groupby(documents(span), key=lambda one: one.day):
        together = list(group)
        for document in together:
            entry = by_number.get(document.entries[0])
            for share in document.shares or (NOTHING,):
                cells: dict[str, Cell] = {
                    "date": f"{day:%Y-%m-%d}",
                    "document_serials": document.number,
                    "what": document.kind if document.shares else "void, its number is kept",
                    "rate": share.rate if document.shares else None,
                    "pg_to_tenth_per_effective_rate": share.proof_gallons,
                    "tax_per_document": share.tax,
                }
                yield Row(cells, entry)
        yield _total(f"{day:%Y-%m-%d}", together)


def _total(day: str, together: list[Document]) -> Row:
    return Row({
        "date": day,
        "document_serials": f"{len(together)} on this day",
        "pg_to_tenth_per_effective_rate": sum(one.proof_gallons for one in together),
        "total_tax": sum(one.tax for one in together),
    }, is_total=True)  # fmt: skip


TAX_SUMMARY = Kind(
    slug="tax-summary",
    title="Daily summary of tax",
    section="27 CFR 19.612",
    rows=rows,
    when=SAME_DAY,
    columns=(
        Column("date", "Date", 9),
        Column("document_serials", "Documents", 14),
        Column("what", "What", 12),
        figure("rate", "Dollars a PG"),
        figure("pg_to_tenth_per_effective_rate", "PG to the tenth"),
        figure("tax_per_document", "Tax, dollars"),
        figure("total_tax", "Tax of the day, dollars", 9),
    ),
    operations=("remove", "cancel-invoice", "count", "lose"),
    notes=("A worksheet, not tax advice. Shortages and taxed losses stand with the removals.",),
)
