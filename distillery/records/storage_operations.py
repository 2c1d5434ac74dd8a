"""Storage operations: receipts, activities and withdrawals of each day (27 CFR 19.590)."""

from collections.abc import Iterator
from itertools import groupby

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import account, class_title, gallons, kind, reference
from distillery.records.span import Span
from ledger.models import Lot, Movement

STORAGE = "storage"
SOURCES = {
    "production": "deposit from production", "other_plant": "transfer in bond",
    "customs": "customs custody", "winery": "bonded winery", "opening": "opening balance",
    "tax_determined": "returned to bond", "taxpaid": "returned to bond",
    "redistil": "returned unused from redistillation",
}  # fmt: skip
ACTIVITIES = {
    "fill": "packages filled from a tank", "move": "moved between tanks or packages",
    "mingle": "mingled", "reduce": "reduced with water", "regauge": "regauged",
    "reclass": "class named anew",
}  # fmt: skip
WITHDRAWALS = {
    "tax_determined": "1 tax payment", "taxpaid": "1 tax payment",
    "us": "2 use of the United States", "hospital": "3 hospital, scientific or educational use",
    "export": "4 export", "ftz": "5 foreign trade zone",
    "cmw": "6 customs manufacturing bonded warehouse", "vessels": "7 vessels and aircraft",
    "winery": "8 bonded winery", "cbw": "9 customs bonded warehouse",
    "research": "10 research, development or testing", "processing": "11 processing",
    "redistil": "12 production", "production": "12 production",
    "other_plant": "13 transfer in bond", "destroyed": "14 destruction", "loss": "15 loss",
    "shortage": "15 loss",
}  # fmt: skip


def rows(span: Span) -> Iterator[Row]:
    """A row for each entry, kind and way."""
    for _, group in groupby(span.movements, key=lambda row: row.entry_id):
        sums: dict[tuple[Cell, ...], list[Movement]] = {}
        for row in group:
            if STORAGE in (row.from_account, row.to_account) and _moves_spirits(row):
                sums.setdefault((kind(in_storage(row)), *way(row)), []).append(row)
        for (what, source, activity, withdrawal), together in sums.items():
            entry, lot = together[0].entry, in_storage(together[0])
            cells = {
                "date": span.day(entry.happened_at),
                "kind": what,
                "class": class_title(lot) if lot else None,
                "quantity_pg": gallons(sum(row.proof_gallons for row in together)),
                "receipt_source": source,
                "activity_type": activity,
                "withdrawal_class": withdrawal,
                "supporting_record_ref": reference(entry),
            }
            yield Row(cells, entry)


def in_storage(row: Movement) -> Lot | None:
    """The lot on the side of storage; what it became, where both sides are."""
    return row.to_lot if row.to_account == STORAGE else row.from_lot


def _moves_spirits(row: Movement) -> bool:
    """A heel named anew in its own tank is no operation; water has no proof gallons."""
    is_renamed = row.from_vessel_id == row.to_vessel_id and row.purpose in ("move", "mingle")
    return row.proof_gallons != 0 and not (is_renamed and row.from_account == row.to_account)


def way(row: Movement) -> tuple[Cell, Cell, Cell]:
    """(source of a receipt, activity, class of a withdrawal): one of them."""
    if row.from_account == row.to_account:
        return None, ACTIVITIES.get(row.purpose, row.purpose), None
    if row.to_account == STORAGE:
        if row.from_account == "gain":
            return None, f"gain: {row.purpose}", None
        return SOURCES.get(row.from_account, account(row.from_account)), None, None
    return None, None, WITHDRAWALS.get(row.to_account, account(row.to_account))


STORAGE_OPERATIONS = Kind(
    slug="storage-operations",
    title="Storage operations",
    section="27 CFR 19.590",
    rows=rows,
    columns=(
        Column("date", "Date", 9),
        Column("kind", "Kind", 14),
        Column("class", "Class", 12),
        figure("quantity_pg", "PG"),
        Column("receipt_source", "Received from", 12),
        Column("activity_type", "Activity", 12),
        Column("withdrawal_class", "Withdrawn for", 12),
        Column("supporting_record_ref", "Supporting record", 13),
    ),
    operations=(
        "production-gauge", "transfer", "receive-in-bond", "ship-in-bond", "reduce",
        "fill-barrels", "dump", "draw-redistil", "return-redistil", "opening-balance",
        "dump-to-tank", "package-to-package", "regauge", "top-up", "reclass", "return-to-bond",
    ),
    notes=("The numbers of withdrawals are the items of 27 CFR 19.590(c).",),
)  # fmt: skip
