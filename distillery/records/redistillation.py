"""Redistillation inside processing: in and out of each run (27 CFR 19.602, 19.597(e))."""

from collections.abc import Iterator

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import gallons, joined, kind, reference
from distillery.records.span import Span
from distillery.records.touched import lots_touched, whole
from ledger.models import Lot, Movement

INTO, OUT = "redistil_in", "redistil_out"


def rows(span: Span) -> Iterator[Row]:
    """The whole record of each run of processing that moved in these days."""
    lots = lots_touched(span, "run")
    moved = whole(span, lots)
    for pk, lot in lots.items():
        together = [row for row in moved[pk] if "processing" in (row.from_account, row.to_account)]
        if any(row.purpose in (INTO, OUT) for row in together):
            yield from _rows_of(lot, together, span)


def _rows_of(lot: Lot, together: list[Movement], span: Span) -> Iterator[Row]:
    stills = [row.to_vessel.code for row in together if row.purpose == INTO and row.to_vessel]
    heads: dict[str, Cell] = {
        "run": lot.code, "meant_to_make": kind(lot), "still": joined(stills),
        "formula_no": lot.formula or None,
    }  # fmt: skip
    sums = {"quantity_in_pg": 0, "quantity_out_pg": 0, "gain_or_loss": 0}
    for row in together:
        cells, name, change = _cells(row, lot, span)
        if change:
            sums[name] += change
            yield Row({**heads, **cells, name: gallons(change)}, row.entry)
    totals = {name: gallons(value) for name, value in sums.items()}
    yield Row({**heads, "date": "Total", **totals}, is_total=True)


def _cells(row: Movement, lot: Lot, span: Span) -> tuple[dict[str, Cell], str, int]:
    """(cells, which figure, hundredths of a proof gallon) of one movement."""
    cells: dict[str, Cell] = {"date": span.day(row.at), "related_record": reference(row.entry)}
    if row.purpose == INTO and row.to_lot_id == lot.pk:
        return cells | {"kind_in": kind(row.from_lot)}, "quantity_in_pg", row.proof_gallons
    if row.purpose == OUT:
        return cells | {"kind_out": kind(row.to_lot)}, "quantity_out_pg", row.proof_gallons
    sign = 1 if row.to_account == "processing" else -1
    return cells, "gain_or_loss", sign * row.proof_gallons


REDISTILLATION = Kind(
    slug="redistillation",
    title="Redistillation in processing",
    section="27 CFR 19.602",
    rows=rows,
    heads=(
        Column("run", "Run"),
        Column("meant_to_make", "Meant to make"),
        Column("still", "Still"),
        Column("formula_no", "Formula number"),
    ),
    columns=(
        Column("date", "Date", 9),
        Column("kind_in", "Kind into the still", 16),
        figure("quantity_in_pg", "PG in"),
        Column("kind_out", "Kind out", 16),
        figure("quantity_out_pg", "PG out"),
        figure("gain_or_loss", "Gain, or loss"),
        Column("related_record", "Related record", 14),
    ),
    operations=(
        "still-charge-processing", "still-collect-processing", "load-basket", "stop-still",
    ),
    notes=("Prepared for each run; closed when the run is over.",),
)  # fmt: skip
