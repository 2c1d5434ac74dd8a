"""Receipts into processing, daily and summed up by source (27 CFR 19.597(a), (b))."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import groupby

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import amount, kind, pg, plant_no, producer, reference, wg
from distillery.records.span import Span
from ledger.models import Lot, Movement

PROCESSING = "processing"
SOURCES = {
    "production": "production, same plant", "storage": "storage, same plant",
    "other_plant": "transfer in bond", "customs": "customs custody",
    "tax_determined": "return to bond", "taxpaid": "return to bond",
    "winery": "wine in bond", "materials": "flavoring", "finished": "dumped bottles",
    "opening": "opening balance",
}  # fmt: skip
SOURCE_OF_WINE = {"storage": "wine from storage", "other_plant": "wine in bond"}


def rows(span: Span) -> Iterator[Row]:
    """A row for each entry and lot received, then the sum of each source."""
    totals: dict[str, list[Movement]] = {}
    for _, group in groupby(span.movements, key=lambda row: row.entry_id):
        lots: dict[tuple[str, int | None], list[Movement]] = {}
        for row in group:
            if row.to_account == PROCESSING and row.from_account in SOURCES:
                source = source_of(row)
                lots.setdefault((source, row.from_lot_id), []).append(row)
                totals.setdefault(source, []).append(row)
        for (source, _), together in lots.items():
            yield Row(_cells(source, together, span), together[0].entry)
    for source, together in sorted(totals.items()):
        cells: dict[str, Cell] = {"date": "Sum", "source": source}
        yield Row({**cells, **_figures(together)}, is_total=True)


def source_of(row: Movement) -> str:
    """The source in the words of the section; wine apart from spirits."""
    if is_wine(row.from_lot):
        return SOURCE_OF_WINE.get(row.from_account, SOURCES[row.from_account])
    return SOURCES[row.from_account]


def is_wine(lot: Lot | None) -> bool:
    """Whether a lot is wine."""
    return lot is not None and lot.designation.class_code == "wine"


def _figures(together: list[Movement]) -> dict[str, Cell]:
    flavors = [row for row in together if row.from_account == "materials"]
    wine = [row for row in together if is_wine(row.from_lot)]
    spirits = [row for row in together if row not in flavors and row not in wine]
    return {
        "proof_gallons": pg(spirits) if spirits else None,
        "wine_gallons": wg(wine) if wine else None,
        "flavoring_pg": _or_none(pg(flavors)),
    }


def _or_none(value: Decimal) -> Cell:
    return value or None


def _cells(source: str, together: list[Movement], span: Span) -> dict[str, Cell]:
    first = together[0]
    is_flavor = first.from_account == "materials"
    lot = first.from_lot
    return {
        "date": span.day(first.at),
        "source": source,
        "kind": kind(lot),
        **_figures(together),
        "quantity": amount(first) if is_flavor else None,
        "producer_or_processor_name": None if is_flavor else producer(lot),
        "plant_no": None if is_flavor else plant_no(lot),
        "flavoring_producer_name_address": lot.producer if is_flavor and lot else None,
        "into": first.to_vessel.code if first.to_vessel else None,
        "related_record": reference(first.entry),
    }


PROCESSING_RECEIPTS = Kind(
    slug="processing-receipts",
    title="Receipts into processing",
    section="27 CFR 19.597(a), (b)",
    rows=rows,
    columns=(
        Column("date", "Date", 9),
        Column("source", "Source", 12),
        Column("kind", "Kind", 14),
        figure("proof_gallons", "PG"),
        figure("wine_gallons", "Wine, gallons"),
        figure("flavoring_pg", "Flavoring, PG"),
        Column("quantity", "Quantity without alcohol", 9),
        Column("producer_or_processor_name", "Producer or processor", 13),
        Column("plant_no", "Plant number", 9),
        Column("flavoring_producer_name_address", "Maker of the flavoring", 11),
        Column("into", "Into"),
        Column("related_record", "Related record", 13),
    ),
    operations=(
        "dump", "production-gauge", "receive-in-bond", "return-to-bond", "add-ingredients",
        "opening-balance", "rework",
    ),
)  # fmt: skip
