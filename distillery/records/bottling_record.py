"""The bottling record: from the tank gauge to the last case (27 CFR 19.599, 19.353, 19.357)."""

from collections.abc import Iterator
from decimal import Decimal
from json import loads
from typing import Any

from distillery.models import BottlingRun
from distillery.records.base import NOT_ASKED, Cell, Column, Kind, Row, figure
from distillery.records.bottling_runs import Runs
from distillery.records.cells import gallons, joined, kind, pg, proof, told, wg
from distillery.records.span import Span
from distillery.tables import operation_title
from ledger.models import Entry, Movement

WHEN = (
    "At the gauge before bottling; a tank not finished the same day: by the morning of the next "
    "business day (27 CFR 19.357)"
)


def rows(span: Span) -> Iterator[Row]:
    """The whole record of each bottling that was open in these days."""
    runs = Runs(span)
    for run in runs.runs:
        yield from _rows_of(run, runs, span)
    for entry in span.of("package"):
        yield from _packages(entry, span)


def _packages(entry: Entry, span: Span) -> Iterator[Row]:
    """Packages filled in processing: one gauge, one fill, whole in one entry."""
    legs, form = span.legs(entry), span.form(entry)
    filled = [row for row in legs if row.purpose == "package" and row.from_account == "processing"]
    gauge = dict(span.slips(entry)[0].result) if span.slips(entry) and form.get("gauge") else {}
    bulk = filled[0].from_lot if filled else None
    heads: dict[str, Cell] = {
        "bottling_tank_no": told(form, "vessel"),
        "serial_no": entry.document,
        "formula_no": joined(row.to_lot.formula for row in filled if row.to_lot),
        "dump_batch_serial": bulk.code if bulk else None,
        "brand": joined(row.to_lot.name for row in filled if row.to_lot),
        "kind": kind(bulk),
        "age_if_claimed": NOT_ASKED,
        **_gauge_cells(gauge, form.get("gauge") or {}),
        "bottle_size": "packages",
        "bottles_per_case": NOT_ASKED,
        "bottled_in_bond_statement": NOT_ASKED,
        "finished_lot": joined(row.to_lot.code for row in filled if row.to_lot),
    }
    title = operation_title(entry.operation)
    dated: dict[str, Cell] = {"fill_date": span.day(entry.happened_at), "what": title}
    for row in filled:
        count = sum(one.amount for one in legs
                    if one.from_account == "glass" and one.to_lot_id == row.to_lot_id)  # fmt: skip
        yield Row({
            **heads, **dated, "cases_or_packages_filled": count,
            "case_serials_by_brand": entry.document, "total_wg": gallons(row.wine_gallons),
            "proof_bottled_if_different": proof(row.proof),
            "total_quantity": gallons(row.proof_gallons),
        }, entry)  # fmt: skip
    total: dict[str, Cell] = {
        "fill_date": "Total",
        "total_wg": wg(filled),
        "total_quantity": pg(filled),
    }
    yield Row({**heads, **total, **_found(legs)}, is_total=True)


def _gauge_cells(gauge: dict[str, str], read: dict[str, Any]) -> dict[str, Cell]:
    """The tank gauge from its slip; obscuration as it was read."""
    return {
        "tank_gauge_proof": gauge.get("proof"),
        "tank_gauge_wg": gauge.get("wine gallons at 60 °F"),
        "tank_gauge_pg": gauge.get("proof gallons"),
        "obscuration": told(read, "obscuration") or NOT_ASKED,
    }


def _rows_of(run: BottlingRun, runs: Runs, span: Span) -> Iterator[Row]:
    moved = runs.movements.get(run.lot_code, [])
    heads = _heads(run, runs, moved)
    run.opened_by.premises = span.premises
    opening = runs.closings.get(run.opened_by_id, [])
    what: dict[str, Cell] = {"what": operation_title(run.opened_by.operation)}
    opened: dict[str, Cell] = {"fill_date": span.day(run.opened_by.happened_at), **what}
    yield Row({**heads, **opened, **_found(opening)}, run.opened_by)
    for entry, together in _by_entry(moved):
        yield Row({**heads, **_filled(run, entry, together, runs, span)}, entry)
    bottles = sum(row.amount for row in moved)
    closing = runs.closings.get(run.closed_by_id or 0, [])
    if run.closed_by:
        run.closed_by.premises = span.premises
        title = operation_title(run.closed_by.operation)
        closed: dict[str, Cell] = {"fill_date": span.day(run.closed_by.happened_at), "what": title}
        yield Row({**heads, **closed, **_found(closing)}, run.closed_by)
    total: dict[str, Cell] = {"fill_date": "Total", "bottles": bottles, "total_wg": wg(moved)}
    found = _net(opening) + _net(closing)
    yield Row({**heads, **total, "total_quantity": pg(moved), "loss_or_gain": gallons(found)},
              is_total=True)  # fmt: skip


def _by_entry(moved: list[Movement]) -> list[tuple[Entry, list[Movement]]]:
    found: dict[int, tuple[Entry, list[Movement]]] = {}
    for row in moved:
        found.setdefault(row.entry_id, (row.entry, []))[1].append(row)
    return list(found.values())


def _net(rows_found: list[Movement]) -> int:
    gain = sum(row.proof_gallons for row in rows_found if row.from_account == "gain")
    return gain - sum(row.proof_gallons for row in rows_found if row.to_account == "loss")


def _found(rows_found: list[Movement]) -> dict[str, Cell]:
    net = _net(rows_found)
    return {"loss_or_gain": gallons(net) if net else None}


def _heads(run: BottlingRun, runs: Runs, moved: list[Movement]) -> dict[str, Cell]:
    form: dict[str, Any] = loads(run.opened_by.form)
    gauge = dict(runs.slips[run.opened_by_id].result) if run.opened_by_id in runs.slips else {}
    bulk = next((row.from_lot for row in moved if row.from_lot and row.from_account != "glass"),
                None)  # fmt: skip
    return {
        "bottling_tank_no": run.vessel.code,
        "serial_no": run.serial + (", taken back" if run.is_void else ""),
        "formula_no": run.product.formula_no or (bulk.formula if bulk else "") or None,
        "dump_batch_serial": bulk.code if bulk else None,
        "brand": run.product.name,
        "kind": kind(bulk),
        "age_if_claimed": told(form, "age") or NOT_ASKED,
        **_gauge_cells(gauge, form.get("gauge") or {}),
        "bottle_size": f"{run.product.bottle_ml} mL",
        "bottles_per_case": str(run.product.per_case),
        "bottled_in_bond_statement": told(form, "bottled_in_bond") or "no",
        "finished_lot": run.lot_code,
    }


def _filled(
    run: BottlingRun, entry: Entry, together: list[Movement], runs: Runs, span: Span
) -> dict[str, Cell]:  # fmt: skip
    form: dict[str, Any] = loads(entry.form)
    serials = runs.serials.get(entry.pk)
    bottled_at = {row.proof for row in together if row.proof is not None}
    label = int(run.product.label_proof * 10)
    other = [str(proof(one)) for one in sorted(bottled_at) if one != label]
    return {
        "fill_date": span.day(entry.happened_at),
        "what": operation_title(entry.operation),
        "cases_or_packages_filled": _number(form.get("cases")),
        "loose_bottles": _number(form.get("loose")),
        "case_serials_by_brand": entry.document or None,
        "remnant_bottles": serials.remnant_bottles if serials else None,
        "proof_bottled_if_different": joined(other) or NOT_ASKED,
        "bottles": sum(row.amount for row in together),
        "total_wg": wg(together),
        "total_quantity": pg(together),
    }


def _number(value: Any) -> Cell:
    text = str(value or "").replace(",", "")
    return int(Decimal(text)) if text.replace(".", "", 1).isdigit() else None


BOTTLING = Kind(
    slug="bottling",
    title="Bottling record",
    section="27 CFR 19.599",
    rows=rows,
    when=WHEN,
    heads=(
        Column("bottling_tank_no", "Bottling tank"),
        Column("serial_no", "Serial number"),
        Column("formula_no", "Formula number"),
        Column("dump_batch_serial", "Dump or batch record"),
        Column("brand", "Brand"),
        Column("kind", "Kind"),
        Column("age_if_claimed", "Age, if claimed"),
        Column("tank_gauge_proof", "Tank gauge, proof"),
        Column("tank_gauge_wg", "Tank gauge, wine gallons"),
        Column("tank_gauge_pg", "Tank gauge, PG"),
        Column("obscuration", "Obscuration"),
        Column("bottle_size", "Bottle"),
        Column("bottles_per_case", "Bottles a case"),
        Column("bottled_in_bond_statement", "Bottled in bond"),
        Column("finished_lot", "Finished lot"),
    ),
    columns=(
        Column("fill_date", "Date", 9),
        Column("what", "What", 11),
        figure("cases_or_packages_filled", "Cases or packages"),
        figure("loose_bottles", "Loose bottles"),
        Column("case_serials_by_brand", "Case serial numbers", 12),
        figure("remnant_bottles", "In the remnant"),
        figure("proof_bottled_if_different", "Proof, if not the label's"),
        figure("bottles", "Bottles"),
        figure("total_wg", "Wine gallons"),
        figure("total_quantity", "PG"),
        figure("loss_or_gain", "Gain, or loss"),
    ),
    operations=("open-bottling", "bottle", "close-bottling", "tip-back", "package"),
    notes=("A bottling is told whole, from its tank gauge on.",),
)
