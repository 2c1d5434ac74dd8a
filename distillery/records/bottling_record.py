"""The bottling record: from the tank gauge to the last case (27 CFR 19.599, 19.353, 19.357)."""

from collections.abc import Iterator
from decimal import Decimal
from functools import cached_property
from json import loads
from typing import Any

from distillery.models import BottlingRun, CaseSerials, KeptSlip
from distillery.records.base import NOT_ASKED, Cell, Column, Kind, Row, figure
from distillery.records.cells import gallons, joined, kind, pg, proof, told, wg
from distillery.records.span import LOTS, VESSELS, Span
from distillery.tables import operation_title
from ledger.models import Entry, Movement
from ledger.plan import Slip

WHEN = (
    "At the gauge before bottling; a tank not finished the same day: by the morning of the next "
    "business day (27 CFR 19.357)"
)


class Runs:
    """The bottlings that stood open or were closed in a span, with all that belongs to them."""

    def __init__(self, span: Span) -> None:
        self.span = span

    @cached_property
    def runs(self) -> list[BottlingRun]:
        """In the order in which they were opened."""
        rows = BottlingRun.objects.filter(premises=self.span.premises)
        rows = rows.filter(opened_by__happened_at__lt=self.span.end)
        rows = rows.select_related("product", "vessel", "opened_by", "closed_by")
        return [
            run
            for run in rows.order_by("opened_by__happened_at", "pk")
            if run.closed_by is None or run.closed_by.happened_at >= self.span.start
        ]

    @cached_property
    def movements(self) -> dict[str, list[Movement]]:
        """Bottles and gallons by the code of the finished lot."""
        codes = {run.lot_code for run in self.runs}
        rows = Movement.objects.filter(
            to_lot__premises=self.span.premises, to_lot__code__in=codes, to_account="finished",
            purpose="bottle", at__lt=self.span.end,
        ).select_related("entry__reverses", "entry__corrects", *LOTS, *VESSELS)  # fmt: skip
        found: dict[str, list[Movement]] = {}
        for row in rows.order_by("at", "entry__number", "leg"):
            row.entry.premises = self.span.premises
            found.setdefault(row.to_lot.code if row.to_lot else "", []).append(row)
        return found

    @cached_property
    def serials(self) -> dict[int, CaseSerials]:
        """Case numbers by the entry that used them."""
        rows = CaseSerials.objects.filter(premises=self.span.premises)
        return {row.entry_id: row for row in rows.filter(entry__happened_at__lt=self.span.end)}

    @cached_property
    def slips(self) -> dict[int, Slip]:
        """The tank gauge of each opening."""
        opened = {run.opened_by_id for run in self.runs}
        rows = KeptSlip.objects.filter(entry__in=opened).order_by("entry", "-order")
        return {row.entry_id: row.slip for row in rows}

    @cached_property
    def closings(self) -> dict[int, list[Movement]]:
        """What closing and opening found less or more, by entry."""
        entries = {run.closed_by_id for run in self.runs} | {run.opened_by_id for run in self.runs}
        rows = Movement.objects.filter(entry__in=entries - {None}).select_related(*LOTS, *VESSELS)
        found: dict[int, list[Movement]] = {}
        for row in rows.order_by("entry", "leg"):
            found.setdefault(row.entry_id, []).append(row)
        return found


def rows(span: Span) -> Iterator[Row]:
    """The whole record of each bottling that was open in these days."""
    runs = Runs(span)
    for run in runs.runs:
        yield from _rows_of(run, runs, span)


def _rows_of(run: BottlingRun, runs: Runs, span: Span) -> Iterator[Row]:
    moved = runs.movements.get(run.lot_code, [])
    heads = _heads(run, runs, moved)
    run.opened_by.premises = span.premises
    opening = runs.closings.get(run.opened_by_id, [])
    what: dict[str, Cell] = {"what": operation_title(run.opened_by.operation)}
    opened = {"fill_date": span.day(run.opened_by.happened_at), **what}
    yield Row({**heads, **opened, **_found(opening)}, run.opened_by)
    for entry, together in _by_entry(moved):
        yield Row({**heads, **_filled(run, entry, together, runs, span)}, entry)
    bottles = sum(row.amount for row in moved)
    closing = runs.closings.get(run.closed_by_id or 0, [])
    if run.closed_by:
        run.closed_by.premises = span.premises
        title = operation_title(run.closed_by.operation)
        closed = {"fill_date": span.day(run.closed_by.happened_at), "what": title}
        yield Row({**heads, **closed, **_found(closing)}, run.closed_by)
    total = {"fill_date": "Total", "bottles": bottles, "total_wg": wg(moved)}
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
    read = form.get("gauge") or {}
    return {
        "bottling_tank_no": run.vessel.code,
        "serial_no": run.serial + (", taken back" if run.is_void else ""),
        "formula_no": run.product.formula_no or (bulk.formula if bulk else "") or None,
        "dump_batch_serial": bulk.code if bulk else None,
        "brand": run.product.name,
        "kind": kind(bulk),
        "age_if_claimed": told(form, "age") or NOT_ASKED,
        "tank_gauge_proof": gauge.get("proof"),
        "tank_gauge_wg": gauge.get("wine gallons at 60 °F"),
        "tank_gauge_pg": gauge.get("proof gallons"),
        "obscuration": told(read, "obscuration") or NOT_ASKED,
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
        figure("cases_or_packages_filled", "Cases"),
        figure("loose_bottles", "Loose bottles"),
        Column("case_serials_by_brand", "Case serial numbers", 12),
        figure("remnant_bottles", "In the remnant"),
        figure("proof_bottled_if_different", "Proof, if not the label's"),
        figure("bottles", "Bottles"),
        figure("total_wg", "Wine gallons"),
        figure("total_quantity", "PG"),
        figure("loss_or_gain", "Gain, or loss"),
    ),
    operations=("open-bottling", "bottle", "close-bottling"),
    notes=("A bottling is told whole, from its tank gauge on.",),
)
