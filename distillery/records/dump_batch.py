"""The dump and batch record: what a batch was made of and where it went (27 CFR 19.598)."""

from collections.abc import Iterator
from json import loads
from typing import Any

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import (
    amount,
    gallons,
    joined,
    kind,
    lot_age,
    pg,
    plant_no,
    producer,
    proof,
    reference,
    serial,
    told,
)
from distillery.records.span import Span
from distillery.records.touched import lots_in, whole
from distillery.tables import operation_title
from ledger.models import Lot, Movement

PROCESSING = "processing"
APART = ("run", "bottled", "material")  # told in records of their own
FOUND = ("gain", "loss", "shortage")
PR_VI = ("puerto_rican", "virgin_islands")


def rows(span: Span) -> Iterator[Row]:
    """The whole record, from its first entry on, of each batch that moved in these days.

    Whatever stands in bulk in processing counts as dumped, however it came (27 CFR 19.342).
    """
    lots = lots_in(span, PROCESSING, apart=APART)
    moved = whole(span, lots)
    for pk, lot in lots.items():
        together = [row for row in moved[pk] if _counts(row, lot)]
        heads = _heads(lot, together, span)
        for row in together:
            yield Row({**heads, **_cells(row, lot, span)}, row.entry)
        yield Row({**heads, **_totals(together, lot)}, is_total=True)


def _is_in(row: Movement, lot: Lot) -> bool:
    return row.to_lot_id == lot.pk and row.to_account == PROCESSING


def _is_out(row: Movement, lot: Lot) -> bool:
    return row.from_lot_id == lot.pk and row.from_account == PROCESSING


def _counts(row: Movement, lot: Lot) -> bool:
    """Moved within the batch nothing happened to it; contraction has no proof gallons."""
    if row.from_account == "contraction" or row.to_account == "contraction":
        return False
    return _is_in(row, lot) != _is_out(row, lot)


def _form(row: Movement) -> dict[str, Any]:
    return loads(row.entry.form)


def _heads(lot: Lot, together: list[Movement], span: Span) -> dict[str, Cell]:
    into = [row for row in together if _is_in(row, lot)]
    forms = [_form(row) for row in into]
    first = into[0] if into else None
    return {
        "serial_or_batch_no": joined((lot.code, serial(first.entry) if first else None)),
        "kind": kind(lot),
        "age": lot_age(lot, span, first.entry) if first else None,
        "formula_no": lot.formula or joined(told(form, "formula") for form in forms),
        "oak_chips_flag": joined(told(form, "oak_chips") for form in forms),
        "caramel_flag": joined(told(form, "caramel") for form in forms),
        "tank_ingredients_added_to": joined(row.to_vessel.code for row in into if row.to_vessel),
        "effective_tax_rate_if_any": joined(told(form, "effective_rate") for form in forms),
    }


def _cells(row: Movement, lot: Lot, span: Span) -> dict[str, Cell]:
    cells: dict[str, Cell] = {
        "date_each_transaction": span.day(row.at),
        "what": operation_title(row.entry.operation),
    }
    if _is_out(row, lot):
        return cells | _went(row, span)
    if row.from_account in FOUND:
        found = gallons(row.proof_gallons) if row.proof_gallons else None
        return cells | {"batch_gain_or_loss": found}
    if row.from_account == "water":
        return cells | {"ingredient": f"water, {gallons(row.wine_gallons):,} gal"}
    return cells | _came(row)


def _came(row: Movement) -> dict[str, Cell]:
    """An ingredient: spirits newly dumped or dumped before, wine, flavoring, or without alcohol."""
    lot = row.from_lot
    source = lot.designation.source if lot else ""
    is_wine = lot is not None and lot.designation.class_code == "wine"
    is_material = row.from_account == "materials"
    quantity = gallons(row.proof_gallons)
    before = row.from_account in ("processing", "finished")
    return {
        "ingredient": joined((kind(lot), f"lot {lot.code}" if lot else None)),
        "producer_name": producer(lot) or producer(row.to_lot),
        "producer_dsp_no": plant_no(lot) or plant_no(row.to_lot),
        "imported_flag": "imported" if source == "imported" else None,
        "PR_VI_flag": source.replace("_", " ") if source in PR_VI else None,
        "tank_or_container_removed_from": row.from_vessel.code if row.from_vessel else None,
        "pg_dumped": quantity if not (is_wine or is_material or before) else None,
        "previously_dumped_qty": quantity if before and not is_wine else None,
        "wine_wg": gallons(row.wine_gallons) if is_wine else None,
        "wine_abv_and_proof": proof(row.proof) if is_wine else None,
        "flavoring_pg": quantity if is_material and row.proof_gallons else None,
        "nonalcoholic_ingredient_qty": amount(row)
        if is_material and not row.proof_gallons
        else None,
        "source_record_serial": joined(
            (told(_form(row), "source_record"), reference(lot.opened_by) if lot else None)
        ),
    }


def _went(row: Movement, span: Span) -> dict[str, Cell]:
    quantity = gallons(row.proof_gallons)
    if row.to_account in FOUND:
        return {"batch_gain_or_loss": -quantity if row.proof_gallons else None}
    to = joined((reference(row.entry), f"lot {row.to_lot.code}" if row.to_lot else None))
    return {
        "to_record_ids": to,
        "lot_qty_transferred": quantity,
        "transfer_dates": span.day(row.at),
        "tank_or_container_removed_from": row.from_vessel.code if row.from_vessel else None,
    }


def _totals(together: list[Movement], lot: Lot) -> dict[str, Cell]:
    gain = [row for row in together if row.from_account in FOUND]
    loss = [row for row in together if row.to_account in FOUND]
    came = [row for row in together if _is_in(row, lot) and row not in gain]
    went = [row for row in together if _is_out(row, lot) and row not in loss]
    return {
        "date_each_transaction": "Total",
        "total_alcoholic_pg": pg(came),
        "total_pg_transferred": pg(went),
        "batch_gain_or_loss": pg(gain) - pg(loss),
    }


DUMP_BATCH = Kind(
    slug="dump-batch",
    title="Dump and batch record",
    section="27 CFR 19.598",
    rows=rows,
    heads=(
        Column("serial_or_batch_no", "Batch, serial number"),
        Column("kind", "Kind"),
        Column("age", "Age"),
        Column("formula_no", "Formula number"),
        Column("oak_chips_flag", "Oak chips used"),
        Column("caramel_flag", "Holds caramel"),
        Column("tank_ingredients_added_to", "Tanks the ingredients went into"),
        Column("effective_tax_rate_if_any", "Effective tax rate, if any"),
    ),
    columns=(
        Column("date_each_transaction", "Date", 9),
        Column("what", "What", 10),
        Column("ingredient", "Ingredient", 14),
        Column("producer_name", "Producer", 11),
        Column("producer_dsp_no", "Its plant number", 8),
        Column("imported_flag", "Imported", 6),
        Column("PR_VI_flag", "PR or VI", 5),
        Column("tank_or_container_removed_from", "Taken from", 7),
        figure("pg_dumped", "PG dumped", 6),
        figure("previously_dumped_qty", "PG dumped before", 6),
        figure("wine_wg", "Wine, gallons", 6),
        figure("wine_abv_and_proof", "Wine, proof", 5),
        figure("flavoring_pg", "Flavoring, PG", 6),
        Column("nonalcoholic_ingredient_qty", "Without alcohol", 8),
        Column("source_record_serial", "Source record", 10),
        figure("total_alcoholic_pg", "PG in, total", 6),
        Column("to_record_ids", "Went to", 11),
        Column("transfer_dates", "On", 8),
        figure("lot_qty_transferred", "PG transferred", 7),
        figure("total_pg_transferred", "PG out, total", 6),
        figure("batch_gain_or_loss", "Gain, or loss", 6),
    ),
    operations=(
        "dump", "blend", "reduce", "filter", "transfer", "add-ingredients", "rework", "bottle",
        "close-bottling", "rinse", "tip-back",
    ),
    notes=("A batch is told whole, from its first entry on.",),
)  # fmt: skip
