"""Liquor bottles: received, used and otherwise gone (27 CFR 19.603)."""

from collections.abc import Iterator

from distillery.models import Material
from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import account, reference
from distillery.records.span import Span
from ledger.models import Movement

GLASS = "glass"


def rows(span: Span) -> Iterator[Row]:
    """Empty bottles of the stock list, and bottles that appeared filled or were emptied."""
    empties = set(
        Material.objects.filter(premises=span.premises, kind="bottle").values_list(
            "code", flat=True
        )
    )
    for row in span.movements:
        lot = row.from_lot or row.to_lot
        is_empty = lot is not None and lot.stage == "material" and lot.product in empties
        if row.amount and (is_empty or GLASS in (row.from_account, row.to_account)):
            yield Row(_cells(row, span, is_empty=is_empty), row.entry)


def _cells(row: Movement, span: Span, *, is_empty: bool) -> dict[str, Cell]:
    lot = row.from_lot or row.to_lot
    cells: dict[str, Cell] = {
        "date": span.day(row.at),
        "bottle": lot.name if lot else None,
        "size": f"{lot.bottle_ml} mL" if lot and lot.bottle_ml else None,
        "lot": lot.code if lot else None,
        "supplier": lot.producer if is_empty and lot else None,
        "related_record": reference(row.entry),
    }
    if row.from_account == "materials":
        used = row.to_account == GLASS
        name, words = ("use", "filled") if used else ("disposition", account(row.to_account))
        return cells | {name: row.amount, "how": words}
    if row.to_account == "materials":
        return cells | {"receipt": row.amount, "how": account(row.from_account)}
    if row.from_account == GLASS:
        return cells | {"use": row.amount, "how": "filled"}
    return cells | {"disposition": row.amount, "how": "emptied"}


LIQUOR_BOTTLES = Kind(
    slug="liquor-bottles",
    title="Liquor bottles",
    section="27 CFR 19.603",
    rows=rows,
    columns=(
        Column("date", "Date", 9),
        Column("bottle", "Bottle", 16),
        Column("size", "Size", 7),
        Column("lot", "Lot", 9),
        figure("receipt", "Received"),
        figure("use", "Used"),
        figure("disposition", "Otherwise gone"),
        Column("how", "How", 12),
        Column("supplier", "Supplier", 14),
        Column("related_record", "Related record", 14),
    ),
    operations=(
        "receive-material",
        "bottle",
        "return-material",
        "destroy-material",
        "break-bottles",
        "scrap-supplies",
        "package",
    ),
    notes=(
        "A bottle filled is told twice where empties are kept as a material: once as the empty "
        "used, once as the filled bottle.",
    ),
)
