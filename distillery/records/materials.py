"""Materials received and used, and spirits received for redistillation (27 CFR 19.584(a), (b))."""

from collections.abc import Iterator

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import account, amount, gallons, joined, kind, reference, told
from distillery.records.span import Span
from ledger.models import Movement

WAYS = {
    ("supplier", "materials"): "received", ("materials", "supplier"): "returned",
    ("materials", "mashed"): "used", ("materials", "fermenting"): "used in a ferment",
    ("materials", "production"): "used in a still", ("materials", "processing"): "used in a batch",
    ("materials", "residue"): "scrapped", ("materials", "destroyed"): "destroyed",
    ("materials", "loss"): "lost", ("gain", "materials"): "found",
    ("opening", "materials"): "opening balance", ("materials", "glass"): "used in bottling",
    ("residue", "materials"): "backset kept", ("materials", "materials"): "moved or milled",
}  # fmt: skip


def rows(span: Span) -> Iterator[Row]:
    """Each movement of a material, and each of spirits for redistillation."""
    for row in span.movements:
        if "materials" in (row.from_account, row.to_account):
            yield Row(_material(row, span), row.entry)
        elif (row.from_account == "redistil") != (row.to_account == "redistil"):
            yield Row(_spirits(row, span), row.entry)


def _material(row: Movement, span: Span) -> dict[str, Cell]:
    lot = row.from_lot or row.to_lot
    form = span.form(row.entry)
    way = (row.from_account, row.to_account)
    return {
        "date": span.day(row.at),
        "material_kind": lot.name if lot else None,
        "lot": lot.code if lot else None,
        "quantity_weight_lb_or_gallons": amount(row),
        "receipt_or_use": WAYS.get(way, f"{account(way[0])} to {account(way[1])}"),
        "into": joined(
            (
                row.to_lot.code if row.to_lot and row.to_lot != lot else None,
                row.to_vessel.code if row.to_vessel else None,
            )
        ),
        "supplier_name": told(form, "supplier") or (lot.producer if lot else None),
        "supplier_address": told(form, "supplier_address"),
        "supplier_lot": told(form, "supplier_lot"),
        "how": joined(told(form, name) for name in ("manner", "place", "person", "why")),
        "related_record": reference(row.entry),
    }


def _spirits(row: Movement, span: Span) -> dict[str, Cell]:
    came = row.to_account == "redistil"
    lot = row.to_lot if came else row.from_lot
    ways = (account(row.from_account), account(row.to_account))
    return {
        "date": span.day(row.at),
        "lot": lot.code if lot else None,
        "receipt_or_use": f"received from {ways[0]}" if came else f"to {ways[1]}",
        "spirits_for_redistillation_kind": kind(lot),
        "spirits_for_redistillation_pg": gallons(row.proof_gallons),
        "related_record": reference(row.entry),
    }


MATERIALS = Kind(
    slug="materials",
    title="Materials received and used",
    section="27 CFR 19.584(a), (b)",
    rows=rows,
    columns=(
        Column("date", "Date", 9),
        Column("material_kind", "Material", 11),
        Column("lot", "Lot", 9),
        Column("quantity_weight_lb_or_gallons", "Quantity", 10),
        Column("receipt_or_use", "Received or used", 10),
        Column("into", "Into", 10),
        Column("supplier_name", "Supplier", 12),
        Column("supplier_address", "Address", 11),
        Column("supplier_lot", "Supplier's lot", 8),
        Column("how", "How", 10),
        Column("spirits_for_redistillation_kind", "Spirits for redistillation", 11),
        figure("spirits_for_redistillation_pg", "PG"),
        Column("related_record", "Related record", 11),
    ),
    operations=(
        "receive-material", "mash", "pitch", "mill", "return-material", "destroy-material",
        "keep-backset", "draw-redistil", "return-redistil", "charge", "load-basket",
        "scrap-supplies", "add-ingredients", "receive-in-bond", "redistil-bottles",
    ),
)  # fmt: skip
