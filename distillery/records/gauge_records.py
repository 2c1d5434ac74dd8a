"""Gauge records, container by container (27 CFR 19.618)."""

from collections.abc import Iterator

from distillery.papers.containers import (
    Container,
    containers,
    movements_of,
)
from distillery.papers.gauge_record import PREFIX
from distillery.papers.gauge_record import REASONS as DEPOSITS
from distillery.records.base import NOT_ASKED, Cell, Column, Kind, Row, figure
from distillery.records.cells import (
    account,
    gallons,
    joined,
    kind,
    lot_age,
    plant_no,
    producer,
    proof,
    reference,
    serial,
)
from distillery.records.span import Span
from ledger.models import Entry

REASONS = {
    **DEPOSITS,
    "package-to-package": "Packages changed", "dump-to-tank": "Packages dumped to a tank",
    "return-to-bond": "Return to bond", "regauge": "Regauge", "return-redistil": "Returned unused",
}  # fmt: skip


def gauge_rows(span: Span) -> Iterator[Row]:
    """A row for each container of each gauge record."""
    for entry, found in gauges(span):
        heads = _heads(entry, found, span)
        for one in found:
            yield Row({**heads, **_container(one, entry)}, entry)
        sums = {"wine_gallons": _sum(found, "wine_gallons"), "total_pg": _sum(found, "pg")}
        yield Row({**heads, "package_identification": "Total", **sums}, entry, is_total=True)


def gauges(span: Span) -> list[tuple[Entry, list[Container]]]:
    """Each gauge record of the span with its containers, worked out once for both records."""
    if "gauges" not in span.kept:
        span.kept["gauges"] = list(_gauges(span))
    found: list[tuple[Entry, list[Container]]] = span.kept["gauges"]
    return found


def _gauges(span: Span) -> Iterator[tuple[Entry, list[Container]]]:
    for entry in span.entries:
        if entry.document.startswith(PREFIX) and not entry.reverses_id:
            movements = movements_of(entry)
            found = containers(entry, movements, span.slips(entry))
            if found:
                yield entry, list(found)


def _sum(found: list[Container], name: str) -> Cell:
    rows = [one.movement for one in found]
    if name == "pg":
        return gallons(sum(row.proof_gallons for row in rows))
    return gallons(sum(row.wine_gallons for row in rows))


def _heads(entry: Entry, found: list[Container], span: Span) -> dict[str, Cell]:
    first = found[0].movement
    lot, was = first.to_lot, first.from_lot
    is_redistil = first.purpose == "redistil"
    reason = REASONS.get(entry.operation)
    opened = was.opened_by if was else None
    return {
        "serial_no": entry.document,
        "reason": reason.format(account=account(first.to_account)) if reason else None,
        "date": span.day(entry.happened_at),
        "related_record_type": reference(opened) if opened else None,
        "related_record_serial": serial(opened) if opened else None,
        "related_record_date": span.day(opened.happened_at) if opened else None,
        "kind_or_formula": joined((kind(lot), lot.formula if lot else None)),
        "proof_of_distillation": NOT_ASKED if is_redistil else _distilled(lot),
        "container_type": joined(
            one.movement.to_vessel.get_kind_display() for one in found if one.movement.to_vessel
        ),
        "container_count": len({one.movement.to_vessel_id for one in found}),
        "age": NOT_ASKED if first.purpose == "deposit" else lot_age(was, span, entry),
        "producer_name": producer(lot),
        "producer_dsp_no": plant_no(lot),
    }


def _distilled(lot: object) -> Cell:
    return proof(getattr(lot, "distilled_at", None))


def _container(one: Container, entry: Entry) -> dict[str, Cell]:
    row = one.movement
    is_whisky = row.to_lot is not None and row.to_lot.designation.class_code.startswith("whisky")
    enters = is_whisky and one.is_package and row.purpose != "redistil"
    return {
        "package_identification": one.package or NOT_ASKED,
        "tank_no": one.tank or NOT_ASKED,
        "volumetric_or_weight_details": one.details,
        "proof": proof(row.proof),
        "wine_gallons": gallons(row.wine_gallons),
        "cooperage_code": one.wood if one.is_package else NOT_ASKED,
        "entry_proof_whiskey": proof(row.proof) if enters else NOT_ASKED,
        "pg_per_filled_package": gallons(row.proof_gallons) if one.is_package else NOT_ASKED,
        "total_pg": gallons(row.proof_gallons),
    }


GAUGE_RECORD = Kind(
    slug="gauge-records",
    title="Gauge records",
    section="27 CFR 19.618",
    rows=gauge_rows,
    is_per_entry=True,
    when="At the gauge; a record for each lot of packages and each bulk removal (27 CFR 19.289(d))",
    heads=(
        Column("serial_no", "Serial number"),
        Column("reason", "Reason"),
        Column("date", "Date"),
        Column("related_record_type", "Related record"),
        Column("related_record_serial", "Its serial number"),
        Column("related_record_date", "Its date"),
        Column("kind_or_formula", "Kind, or formula number"),
        Column("proof_of_distillation", "Proof of distillation"),
        Column("container_type", "Type of containers"),
        Column("container_count", "Number of containers"),
        Column("age", "Age"),
        Column("producer_name", "Producer or warehouseman"),
        Column("producer_dsp_no", "Its plant number"),
    ),
    columns=(
        Column("package_identification", "Package identification", 14),
        Column("tank_no", "Tank", 8),
        Column("volumetric_or_weight_details", "Volume or weight details", 30),
        figure("proof", "Proof", 6),
        figure("wine_gallons", "Wine gallons"),
        Column("cooperage_code", "Cooperage", 7),
        figure("entry_proof_whiskey", "Entry proof, whisky"),
        figure("pg_per_filled_package", "PG a package"),
        figure("total_pg", "PG"),
    ),
    operations=("production-gauge", "fill-barrels", "draw-redistil", "package-to-package",
                "dump-to-tank", "return-to-bond"),
)  # fmt: skip
