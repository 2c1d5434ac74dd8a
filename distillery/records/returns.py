"""Spirits returned to bond (27 CFR 19.452, 19.453)."""

from collections.abc import Iterator
from typing import Any

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import (
    account,
    chosen,
    gallons,
    gauge_details,
    joined,
    kind,
    proof,
    serial,
    told,
)
from distillery.records.span import Span
from ledger.models import Movement

FROM = ("tax_determined", "taxpaid")
SLUGS = ("return-to-bond", "return-for-relabel")


def rows(span: Span) -> Iterator[Row]:
    """A row for each lot that came back; goods that only come to be relabelled move nothing."""
    for row in span.movements:
        if row.from_account in FROM and row.purpose == "return":
            yield Row(_cells(row, span), row.entry)
    for entry in span.of("return-for-relabel"):
        form = span.form(entry)
        cells = {
            "date": span.day(entry.happened_at),
            "kind": joined((told(form, "product"), told(form, "lot"))),
            "reason": chosen(entry, form, "work"),
            "bottles": told(form, "bottles"),
            "case_serials": told(form, "case_serials"),
            "serial_no": serial(entry),
        }
        yield Row({**cells, **_papers(form)}, entry)


def _papers(form: dict[str, Any]) -> dict[str, Cell]:
    """Who sent it back, proof of the tax paid, the credit (27 CFR 19.452)."""
    return {
        "returned_from": joined((told(form, "returned_by"), told(form, "returned_by_address"))),
        "tax_paid_evidence": joined((told(form, "removed_on"), told(form, "tax_paid"))),
        "credit_memo_ref": joined((told(form, "credit_memo"), told(form, "claim"))),
    }


def _cells(row: Movement, span: Span) -> dict[str, Cell]:
    form = span.form(row.entry)
    lot = row.to_lot or row.from_lot
    return {
        "date": span.day(row.at),
        "kind": kind(lot),
        "lot": joined(one.code for one in (row.from_lot, row.to_lot) if one),
        "into": joined((account(row.to_account), row.to_vessel.code if row.to_vessel else None)),
        "bottles": row.amount or None,
        "proof": proof(row.proof),
        "wine_gallons": gallons(row.wine_gallons),
        "pg": gallons(row.proof_gallons),
        "gauge_on_receipt": gauge_details(span, row.entry),
        "reason": chosen(row.entry, form, "purpose"),
        "dumped": told(form, "dumped"),
        "case_serials": told(form, "case_serials"),
        **_papers(form),
        "serial_no": serial(row.entry),
    }


RETURNS = Kind(
    slug="returns-to-bond",
    title="Returns to bond",
    section="27 CFR 19.452",
    rows=rows,
    when="Gauged and dumped at once on receipt (27 CFR 19.452)",
    columns=(
        Column("date", "Date", 9),
        Column("serial_no", "Record", 9),
        Column("kind", "Kind", 13),
        Column("lot", "Lot", 10),
        Column("into", "Into", 10),
        figure("bottles", "Bottles", 6),
        figure("proof", "Proof", 6),
        figure("wine_gallons", "Wine gallons"),
        figure("pg", "PG"),
        Column("gauge_on_receipt", "Gauge on receipt", 14),
        Column("case_serials", "Case numbers", 8),
        Column("dumped", "Dumped", 7),
        Column("reason", "For", 10),
        Column("returned_from", "Returned from", 12),
        Column("tax_paid_evidence", "Proof of tax paid", 10),
        Column("credit_memo_ref", "Credit memorandum", 9),
    ),
    operations=SLUGS,
)
