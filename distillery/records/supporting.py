"""Supporting data: corrections, acts without quantities, readings, and every movement.

27 CFR 19.571, 19.576, 19.581. An entry is never changed: a correction is a new one.
"""

from collections.abc import Iterator

from distillery.models import BarrelAct, Reading, Remark
from distillery.pages.sentences import of_movement
from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import (
    account,
    amount,
    gallons,
    joined,
    kind,
    lot_age,
    origin,
    plant_no,
    producer,
    proof,
    reference,
    serial,
    told,
)
from distillery.records.span import Span
from distillery.tables import operation_title
from ledger.models import Movement


def corrections(span: Span) -> Iterator[Row]:
    """Each entry that takes back or corrects another, with its reason."""
    for entry in span.entries:
        other = entry.reverses or entry.corrects
        if other is not None:
            yield Row({
                "date": span.day(entry.happened_at),
                "what": operation_title(entry.operation),
                "of": f"{operation_title(other.operation)}, entry No. {other.number}",
                "reason": entry.reason or None,
                "change": joined(str(of_movement(row)) for row in span.legs(entry)),
            }, entry)  # fmt: skip


def other_acts(span: Span) -> Iterator[Row]:
    """Entries that move nothing in the book, by what they say."""
    remarks = {
        row.entry_id: (row.get_kind_display(), row.words)
        for row in Remark.objects.filter(premises=span.premises, at__gte=span.start,
                                         at__lt=span.end)
    }  # fmt: skip
    acts: dict[int, list[str]] = {}
    for act in BarrelAct.objects.filter(
        premises=span.premises, at__gte=span.start, at__lt=span.end
    ).select_related("vessel"):
        words = joined((act.place, act.words))
        acts.setdefault(act.entry_id, []).append(
            f"{act.vessel.code} {act.get_kind_display()}" + (f", {words}" if words else "")
        )
    for entry in span.entries:
        if span.legs(entry) and entry.pk not in acts:
            continue
        form = span.form(entry)
        yield Row({
            "date": span.day(entry.happened_at),
            "what": operation_title(entry.operation),
            "record": serial(entry),
            "vessel": told(form, "vessel", "still", "run", "place"),
            "words": joined((*remarks.get(entry.pk, ()), *acts.get(entry.pk, ()),
                             *(told(form, name) for name in (
                                 "kind", "why", "text", "effective_from", "effective_to",
                                 "reference", "conveyance", "signed_for", "lost", "note")))),
        }, entry)  # fmt: skip


def readings(span: Span) -> Iterator[Row]:
    """Still logs and ferment readings: small rows beside the book."""
    rows = Reading.objects.filter(premises=span.premises, at__gte=span.start, at__lt=span.end)
    for row in rows.select_related("vessel", "lot").order_by("at", "pk"):
        yield Row({
            "date": span.moment(row.at)[:10],
            "time": span.moment(row.at)[11:],
            "vessel": row.vessel.code,
            "lot": row.lot.code if row.lot else None,
            "gravity": row.gravity,
            "temperature_f": row.temperature_f,
            "ph": row.ph,
            "proof": row.proof,
            "note": row.note or None,
            "happened": span.moment(row.at),
            "recorded": f"{span.moment(row.recorded_at)} {row.by}",
        })  # fmt: skip


def daily(span: Span) -> Iterator[Row]:
    """Every movement, with the details that each daily record carries (27 CFR 19.581)."""
    for row in span.movements:
        yield Row(_daily(row, span), row.entry)


def _daily(row: Movement, span: Span) -> dict[str, Cell]:
    form = span.form(row.entry)
    lot = row.to_lot or row.from_lot
    code = lot.designation.class_code if lot else ""
    is_material = lot is not None and lot.stage == "material"
    is_wash = lot is not None and lot.stage == "wash"
    is_flavor = is_material and row.proof_gallons != 0
    is_spirits = bool(code) and code != "wine"
    vessels = [one for one in (row.from_vessel, row.to_vessel) if one]
    barrels = [one.code for one in vessels if one.kind == "barrel"]
    return {
        "date": span.day(row.at),
        "what": operation_title(row.entry.operation),
        "from": joined((account(row.from_account), row.from_vessel)),
        "to": joined((account(row.to_account), row.to_vessel)),
        "kind_of_spirits": kind(lot) if is_spirits else None,
        "proof_gallons": gallons(row.proof_gallons) if row.proof_gallons else None,
        "proof": proof(row.proof),
        "distilling_material_kind": kind(lot) if is_wash else None,
        "distilling_material_wine_gallons": gallons(row.wine_gallons) if is_wash else None,
        "received_material_abv_pct": told(form, "abv"),
        "wine_kind": kind(lot) if code == "wine" else None,
        "wine_gallons": gallons(row.wine_gallons) if row.wine_gallons and not is_wash else None,
        "wine_abv_pct": f"{row.proof / 20:.1f}" if code == "wine" and row.proof else None,
        "flavoring_kind": kind(lot) if is_flavor else None,
        "flavoring_formula_no": told(form, "formula") if is_flavor else None,
        "flavoring_proof_gallons": gallons(row.proof_gallons) if is_flavor else None,
        "container_type": joined(one.get_kind_display() for one in vessels),
        "container_serial": told(form, "case_serials", "serials")
        or (row.entry.document if row.purpose == "bottle" else None),
        "container_count": row.amount if lot and lot.unit == "bottle" and row.amount else None,
        "package_identification_no": joined((lot.code if lot else None, *barrels))
        if barrels else None,
        "packages_count": 1 if barrels and row.proof_gallons else None,
        "proof_gallons_per_package": gallons(row.proof_gallons) if barrels else None,
        "raw_material_kind": lot.name if is_material and lot else None,
        "raw_material_weight_or_gallons": amount(row) if is_material else None,
        "counterparty_name": _party(form, ""),
        "counterparty_address": _party(form, "_address"),
        "counterparty_plant_or_permit_no": told(
            form, "registry", "consignor_number", "consignee_number", "permit"
        ),
        "tank_serial_no": joined(one.code for one in vessels if one.kind != "barrel"),
        "duty_rate_if_imported": told(form, "duty_rate"),
        "origin_flag_imported_PR_VI": origin(lot)
        if lot and lot.designation.source != "domestic" else None,
        "lot": joined(one.code for one in (row.from_lot, row.to_lot) if one),
        "producer": joined((producer(lot), plant_no(lot))) if is_spirits else None,
        "age": lot_age(lot, span, row.entry) if is_spirits else None,
        "record": reference(row.entry),
    }  # fmt: skip


def _party(form: dict[str, object], ending: str) -> Cell:
    names = ("supplier", "consignor", "consignee", "returned_by", "recipient")
    return told(form, *(f"{name}{ending}" for name in names))


CORRECTIONS = Kind(
    slug="corrections",
    title="Entries taken back or corrected",
    section="27 CFR 19.576",
    rows=corrections,
    columns=(
        Column("date", "Counts on", 9),
        Column("what", "What", 12),
        Column("of", "Of", 18),
        Column("reason", "Reason", 22),
        Column("change", "What it changed", 34),
    ),
    operations=("reverse", "correct", "cancel-invoice"),
    notes=("Nothing is erased: the first entry stays, and this one stands beside it.",),
)
OTHER_ACTS = Kind(
    slug="other-acts",
    title="Acts without a quantity",
    section="27 CFR 19.571",
    rows=other_acts,
    columns=(
        Column("date", "Date", 9),
        Column("what", "What", 14),
        Column("record", "Record", 10),
        Column("vessel", "Vessel", 10),
        Column("words", "What it says", 44),
    ),
    operations=(
        "stop-still", "run-on", "load-basket", "spent-botanicals", "clean-vessel", "barrel-care",
        "move-barrels", "receive-barrels", "notice", "goods-gone", "route-stillage",
        "keep-backset", "move-cases", "regauge",
    ),
)  # fmt: skip
READINGS = Kind(
    slug="readings",
    title="Ferment and still readings",
    section="27 CFR 19.571",
    rows=readings,
    when="When read; supporting data (27 CFR 19.571)",
    columns=(
        Column("date", "Date", 9),
        Column("time", "Time", 6),
        Column("vessel", "Vessel", 9),
        Column("lot", "Lot", 12),
        figure("gravity", "Gravity"),
        figure("temperature_f", "°F"),
        figure("ph", "pH"),
        figure("proof", "Proof"),
        Column("note", "Note", 26),
    ),
    operations=("ferment-reading",),
)
DAILY = Kind(
    slug="daily-record",
    title="Daily record of every movement",
    section="27 CFR 19.581",
    rows=daily,
    columns=(
        Column("date", "Date", 9),
        Column("what", "What", 10),
        Column("from", "From", 10),
        Column("to", "To", 10),
        Column("lot", "Lot", 9),
        Column("kind_of_spirits", "Kind of spirits", 10),
        figure("proof_gallons", "PG"),
        figure("proof", "Proof", 6),
        figure("wine_gallons", "Wine gallons"),
        Column("producer", "Producer", 9),
        Column("age", "Age", 8),
        Column("distilling_material_kind", "Distilling material", 9),
        figure("distilling_material_wine_gallons", "Its wine gallons"),
        Column("received_material_abv_pct", "Its alcohol, if received", 6),
        Column("wine_kind", "Wine", 8),
        Column("wine_abv_pct", "Its alcohol, %", 5),
        Column("flavoring_kind", "Flavoring", 8),
        Column("flavoring_formula_no", "Its formula", 6),
        figure("flavoring_proof_gallons", "Its PG", 6),
        Column("container_type", "Containers", 8),
        Column("container_serial", "Serial numbers", 8),
        figure("container_count", "Bottles", 6),
        Column("package_identification_no", "Package", 8),
        figure("packages_count", "Packages", 5),
        figure("proof_gallons_per_package", "PG a package", 6),
        Column("raw_material_kind", "Material", 8),
        Column("raw_material_weight_or_gallons", "Its quantity", 8),
        Column("counterparty_name", "From or to whom", 9),
        Column("counterparty_address", "Address", 9),
        Column("counterparty_plant_or_permit_no", "Plant or permit number", 8),
        Column("tank_serial_no", "Tanks", 7),
        Column("duty_rate_if_imported", "Rate of duty", 6),
        Column("origin_flag_imported_PR_VI", "Imported, PR, VI", 6),
        Column("record", "Record", 9),
    ),
    notes=("Every operation of the plant stands here, in the order in which it happened.",),
)
