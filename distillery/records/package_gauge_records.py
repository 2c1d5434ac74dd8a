"""Package gauge records: each package by its weights and proof gallons (27 CFR 19.619)."""

from collections.abc import Iterator

from distillery.barrel_life import code_on
from distillery.models import BarrelAct
from distillery.papers.containers import PUT_IN, Container, original_proof_gallons
from distillery.records.base import NOT_ASKED, Cell, Column, Kind, Row, figure
from distillery.records.cells import (
    gallons,
    joined,
    kind,
    named,
    plant_no,
    producer,
    proof,
    reference,
    serial,
    told,
)
from distillery.records.gauge_records import gauges
from distillery.records.span import Span
from ledger.models import Entry, Movement

FOR_PACKAGES = ("ship-in-bond", "receive-in-bond", "remove")


def rows(span: Span) -> Iterator[Row]:
    """A row for each package of a gauge record, or gauged by itself."""
    for entry, found in gauges(span):
        for one in found:
            if one.is_package or one.movement.from_vessel_kind == "barrel":
                yield Row(_package(one, entry, span), entry)
    for entry in span.of(*FOR_PACKAGES):
        for row in span.legs(entry):
            vessel = row.from_vessel if row.from_vessel_kind == "barrel" else row.to_vessel
            if "barrel" in (row.from_vessel_kind, row.to_vessel_kind) and vessel:
                yield Row(_by_itself(row, vessel.code, vessel.pk, span), entry)
    yield from _regauged(span)


def _package(one: Container, entry: Entry, span: Span) -> dict[str, Cell]:
    row = one.movement
    again = row.purpose == "redistil"
    original = original_proof_gallons(row) if again else row.proof_gallons
    return {
        **_related(row, span),
        "package_serial_or_id": one.package,
        "cooperage_code": one.wood,
        "gross_weight": one.gross or None,
        "present_tare_on_regauge": (one.tare or None) if again else NOT_ASKED,
        "net_weight": one.net or None,
        "pg_regauge": gallons(row.proof_gallons) if again else NOT_ASKED,
        "pg_original": None if original is None else gallons(original),
        "receiving_weight_if_material_difference": NOT_ASKED,
    }


def _related(row: Movement, span: Span) -> dict[str, Cell]:
    lot = row.to_lot or row.from_lot
    return {
        "date_prepared": span.day(row.entry.recorded_at),
        "related_record": reference(row.entry),
        "related_serial": serial(row.entry),
        "producer_or_processor_name": producer(lot),
        "dsp_no": plant_no(lot),
        "proof_of_distillation": proof(lot.distilled_at) if lot else None,
        "kind": kind(lot),
        "proof": proof(row.proof),
    }


def _by_itself(row: Movement, code: str, pk: int, span: Span) -> dict[str, Cell]:
    """A package regauged, shipped, received or sampled: weights as they were filled in."""
    form = span.form(row.entry)
    parts = [*(form.get("vessels") or []), *(form.get("barrels") or []),
             *(form.get("packages") or [])]  # fmt: skip
    part = named(parts, vessel=code) or named(parts, barrel=code)
    barrel = span.barrels.get(pk)
    lot = row.from_lot or row.to_lot
    came = row.from_account == "other_plant"
    original = None if came else original_proof_gallons(row)
    return {
        **_related(row, span),
        "package_serial_or_id": joined((lot.code if lot else None, code, told(part, "serial"))),
        "cooperage_code": code_on(barrel, row.at) if barrel else None,
        "gross_weight": told(part, "gross"),
        "present_tare_on_regauge": told(part, "tare"),
        "net_weight": told(part, "net"),
        "pg_regauge": gallons(row.proof_gallons),
        "pg_original": None if original is None else gallons(original),
        "receiving_weight_if_material_difference": told(part, "gross", "net") if came else None,
    }


def _regauged(span: Span) -> Iterator[Row]:
    """Packages gauged again where they lie; what the gauge found stands beside the book."""
    acts = BarrelAct.objects.filter(
        premises=span.premises, kind=BarrelAct.Kind.REGAUGED, at__gte=span.start, at__lt=span.end
    )
    entries = {entry.pk: entry for entry in span.entries}
    for act in acts.select_related("vessel").order_by("at", "entry__number", "pk"):
        entry, barrel = entries[act.entry_id], span.barrels.get(act.vessel_id)
        first = _filled_with(act, span)
        lot = first.to_lot if first else None
        yield Row({
            "date_prepared": span.day(entry.recorded_at),
            "related_record": reference(entry),
            "related_serial": serial(entry),
            "package_serial_or_id": joined((lot.code if lot else None, act.vessel.code)),
            "cooperage_code": code_on(barrel, act.at) if barrel else None,
            "kind": kind(lot),
            "producer_or_processor_name": producer(lot),
            "dsp_no": plant_no(lot),
            "proof_of_distillation": proof(lot.distilled_at) if lot else None,
            "gross_weight": act.gross_lb,
            "present_tare_on_regauge": act.tare_lb,
            "net_weight": None if act.gross_lb is None or act.tare_lb is None
            else act.gross_lb - act.tare_lb,
            "proof": proof(act.proof),
            "pg_regauge": None if act.proof_gallons is None else gallons(act.proof_gallons),
            "pg_original": gallons(first.proof_gallons) if first else None,
            "receiving_weight_if_material_difference": NOT_ASKED,
        }, entry)  # fmt: skip


def _filled_with(act: BarrelAct, span: Span) -> Movement | None:
    """The last movement that filled the barrel of *act* before it."""
    rows = Movement.objects.filter(
        to_vessel=act.vessel_id, purpose__in=PUT_IN, proof_gallons__gt=0, at__lt=act.at
    )
    return rows.select_related("to_lot__designation").order_by("-at", "-pk").first()


PACKAGE_GAUGE_RECORD = Kind(
    slug="package-gauge-records",
    title="Package gauge records",
    section="27 CFR 19.619",
    rows=rows,
    when="Whenever packages are gauged (27 CFR 19.619)",
    columns=(
        Column("date_prepared", "Prepared", 9),
        Column("related_record", "Related record", 10),
        Column("related_serial", "Its serial", 8),
        Column("package_serial_or_id", "Package", 10),
        Column("cooperage_code", "Cooperage", 6),
        Column("kind", "Kind", 10),
        Column("producer_or_processor_name", "Producer or processor", 11),
        Column("dsp_no", "Its plant number", 8),
        figure("proof_of_distillation", "Proof of distillation", 6),
        figure("gross_weight", "Gross weight"),
        figure("present_tare_on_regauge", "Tare on regauge"),
        figure("net_weight", "Net weight"),
        figure("proof", "Proof", 5),
        figure("pg_regauge", "PG, regauge"),
        figure("pg_original", "PG, original"),
        figure("receiving_weight_if_material_difference", "Receiving weight"),
    ),
    operations=("fill-barrels", "production-gauge", "draw-redistil", "regauge", *FOR_PACKAGES),
)
