"""The taxpaid storeroom: own stock outside bond, received and gone (27 CFR 19.622)."""

from collections.abc import Iterator

from distillery.named_cases import told_of
from distillery.records.base import NOT_ASKED, Cell, Column, Kind, Row, figure
from distillery.records.cells import (
    account,
    amount,
    gallons,
    joined,
    kind,
    origin,
    plant_no,
    producer,
    proof,
    reference,
    told,
)
from distillery.records.span import Span
from ledger.models import Movement

TAXPAID = "taxpaid"
WORKED = ("relabel", "reclose", "return-for-relabel")


def rows(span: Span) -> Iterator[Row]:
    """A row for each quantity that came into or left the storeroom, or was relabelled for it."""
    for row in span.movements:
        is_in, is_out = row.to_account == TAXPAID, row.from_account == TAXPAID
        if is_in or is_out:
            yield Row(_cells(row, span, is_in=is_in and not is_out), row.entry)
    for entry in span.of(*WORKED):
        form = span.form(entry)
        if entry.operation == "return-for-relabel" or told(form, "returned"):
            yield Row({
                "date": span.day(entry.happened_at),
                "what": "relabelled or reclosed, tax paid",
                "consignor_or_consignee_name_address": joined(
                    (told(form, "returned_by"), told(form, "returned_by_address"))
                ),
                "brand": joined((told(form, "product"), told(form, "lot"))),
                "relabel_date": told(form, "done_at") or span.day(entry.happened_at),
                "relabel_case_serials": told(form, "case_serials"),
                "relabel_bottles": told(form, "bottles"),
                "bottler": told(form, "consent") or span.premises.registry,
                "record": reference(entry),
            }, entry)  # fmt: skip


def _cells(row: Movement, span: Span, *, is_in: bool) -> dict[str, Cell]:
    form = span.form(row.entry)
    lot = (row.to_lot if is_in else row.from_lot) or row.to_lot or row.from_lot
    other = account(row.from_account if is_in else row.to_account)
    names = ("supplier", "supplier_address", "consignee", "consignee_address")
    numbers = told_of(form, lot.code) if lot else ""
    is_inside = row.from_account == row.to_account
    return {
        "date": span.day(row.at),
        "what": f"moved, {row.purpose}" if is_inside else f"from {other}" if is_in
        else f"{row.purpose}, {other}",
        "consignor_or_consignee_name_address": joined(told(form, name) for name in names)
        or (span.premises.name if is_in else None),
        "brand": lot.name if lot else None,
        "kind": kind(lot),
        "quantity": amount(row),
        "wine_gallons": gallons(row.wine_gallons),
        "proof": proof(row.proof if row.proof is not None else lot.label_proof if lot else None),
        "pg": gallons(row.proof_gallons),
        "package_serials": told(form, "case_serials") or numbers or NOT_ASKED,
        "producer": joined((producer(lot), plant_no(lot))),
        "origin": origin(lot),
        "record": reference(row.entry),
    }  # fmt: skip


TAXPAID_STORE = Kind(
    slug="taxpaid-storeroom",
    title="Taxpaid storeroom",
    section="27 CFR 19.622",
    rows=rows,
    columns=(
        Column("date", "Date", 9),
        Column("what", "What", 11),
        Column("consignor_or_consignee_name_address", "From or to whom", 14),
        Column("brand", "Brand", 12),
        Column("kind", "Kind", 12),
        Column("quantity", "Quantity", 9),
        figure("wine_gallons", "Wine gallons"),
        figure("proof", "Proof", 6),
        figure("pg", "PG"),
        Column("package_serials", "Serial numbers", 9),
        Column("producer", "Producer", 12),
        Column("origin", "Origin"),
        Column("relabel_date", "Relabelled", 8),
        Column("relabel_case_serials", "Case numbers", 8),
        Column("relabel_bottles", "Bottles", 6),
        Column("bottler", "Bottler", 9),
        Column("record", "Record", 11),
    ),
    operations=("remove", "taxpaid-receive", "taxpaid-sell", "opening-balance", *WORKED),
)
