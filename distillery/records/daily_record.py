"""The daily record of every movement, with what each such record carries (27 CFR 19.581)."""

from collections.abc import Iterator

from distillery.named_cases import told_of
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
    told,
)
from distillery.records.span import Span
from distillery.tables import operation_title
from ledger.accounts import INSIDE
from ledger.models import Lot, Movement


def group_of(row: Movement, lot: Lot | None) -> str:
    """What is moved, so that each stands under the columns of its kind."""
    if lot is None or lot.stage == "material":
        return "Materials"
    if lot.stage == "wash":
        return "Distilling material"
    if lot.stage == "bottled":
        return "Bottled goods"
    if "barrel" in (row.from_vessel_kind, row.to_vessel_kind):
        return "Packages"
    return "Wine" if lot.designation.class_code == "wine" else "Spirits in bulk"


def rows(span: Span) -> Iterator[Row]:
    """Every movement, with the details that each daily record carries (27 CFR 19.581)."""
    for row in span.movements:
        yield Row(_daily(row, span), row.entry)


def _daily(row: Movement, span: Span) -> dict[str, Cell]:
    form = span.form(row.entry)
    came = row.to_account in INSIDE
    lot = (row.to_lot if came else row.from_lot) or row.to_lot or row.from_lot
    code = lot.designation.class_code if lot else ""
    is_material = lot is not None and lot.stage == "material"
    is_wash = lot is not None and lot.stage == "wash"
    is_flavor = is_material and row.proof_gallons != 0
    is_spirits = bool(code) and code != "wine"
    vessels = [one for one in (row.from_vessel, row.to_vessel) if one]
    barrels = [one.code for one in vessels if one.kind == "barrel"]
    return {
        "group": group_of(row, lot),
        "date": span.day(row.at),
        "what": operation_title(row.entry.operation),
        "from": joined((account(row.from_account), row.from_vessel)),
        "to": joined((account(row.to_account), row.to_vessel)),
        "kind_of_spirits": kind(lot) if is_spirits else None,
        "proof_gallons": gallons(row.proof_gallons) if row.proof_gallons else None,
        "proof": proof(row.proof),
        "distilling_material_kind": kind(lot) if is_wash else None,
        "distilling_material_wine_gallons": gallons(row.wine_gallons)
        if is_wash and row.wine_gallons else None,
        "received_material_abv_pct": told(form, "abv"),
        "wine_kind": kind(lot) if code == "wine" else None,
        "wine_gallons": gallons(row.wine_gallons) if row.wine_gallons and not is_wash else None,
        "wine_abv_pct": f"{row.proof / 20:.1f}" if code == "wine" and row.proof else None,
        "flavoring_kind": kind(lot) if is_flavor else None,
        "flavoring_formula_no": told(form, "formula") if is_flavor else None,
        "flavoring_proof_gallons": gallons(row.proof_gallons) if is_flavor else None,
        "container_type": joined(one.get_kind_display() for one in vessels),
        "container_serial": told(form, "case_serials")
        or (told_of(form, lot.code) if lot else "")
        or (row.entry.document if row.purpose == "bottle" else None),
        "container_count": row.amount if lot and lot.stage == "bottled" and row.amount else None,
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


DAILY = Kind(
    slug="daily-record",
    title="Daily record of every movement",
    section="27 CFR 19.581",
    rows=rows,
    heads=(Column("group", "Moved"),),
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
