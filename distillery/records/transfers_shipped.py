"""The transfer record, shipper's half (27 CFR 19.620, 19.405)."""

from collections.abc import Iterator

from distillery.named_cases import told_of
from distillery.records.base import NOT_ASKED, Cell, Column, Kind, Row, figure
from distillery.records.cells import (
    account,
    chosen,
    gallons,
    joined,
    kind,
    lot_age,
    named,
    pg,
    plant_no,
    producer,
    proof,
    told,
)
from distillery.records.signing import SIGNED, signed
from distillery.records.span import Span
from ledger.models import Entry, Movement

SHIP = "ship-in-bond"


def shipped(span: Span) -> Iterator[Row]:
    """A row for each lot and container that left in bond."""
    for entry in span.of(SHIP):
        heads = {**_consigned(entry, span), **signed(entry, span)}
        legs = [row for row in span.legs(entry) if row.purpose == "ship"]
        for row in legs:
            yield Row({**heads, **_lot_shipped(row, span)}, entry)
        total: dict[str, Cell] = {"lot_or_serial_nos": "Total", "proof_gallons": pg(legs)}
        yield Row({**heads, **total}, entry, is_total=True)


def _consigned(entry: Entry, span: Span) -> dict[str, Cell]:
    form, premises = span.form(entry), span.premises
    legs = [row for row in span.legs(entry) if row.purpose == "ship"]
    accounts = dict.fromkeys(row.from_account for row in legs)
    return {
        "serial_no": entry.document,
        "f5100_16_serial": told(form, "application"),
        "f5100_16_date": told(form, "application_date"),
        "consignor_name": premises.name,
        "consignor_dsp_no": premises.registry,
        "consignee_name": joined((told(form, "consignee"), told(form, "consignee_address"))),
        "consignee_dsp_or_bwc_no": told(form, "registry"),
        "account_removed_from": joined(account(one) for one in accounts),
        "container_type": chosen(entry, form, "container") or _container(legs),
        "effective_rate_elements": told(form, "rate_elements"),
        "production_facility_note": "shipped from production" if "production" in accounts
        else NOT_ASKED,
        "conveyance_id": told(form, "conveyance"),
        "seal_ids": joined((told(form, "seals"), told(form, "waiver"))),
        "transfer_date": span.day(entry.happened_at),
    }  # fmt: skip


def _container(legs: list[Movement]) -> Cell:
    return joined(row.from_vessel.get_kind_display() for row in legs if row.from_vessel)


def _lot_shipped(row: Movement, span: Span) -> dict[str, Cell]:
    lot, vessel = row.from_lot, row.from_vessel
    form = span.form(row.entry)
    code = vessel.code if vessel else ""
    part = named(form.get("vessels"), vessel=code)
    is_package = row.from_vessel_kind == "barrel"
    return {
        "producer_or_processor_name": producer(lot),
        "producer_plant_no": plant_no(lot),
        "kind": kind(lot),
        "proof": proof(row.proof),
        "age_ymd": lot_age(lot, span, row.entry),
        "year_of_production": told(part, "produced"),
        "packages_or_cases_count": 1 if is_package else _cases(row) or None,
        "lot_or_serial_nos": joined(
            (lot.code if lot else None, code if is_package else None, told(part, "serial"),
             told_of(form, lot.code) if lot else None)
        ),
        "dates_of_fill": f"{lot.aged_from:%Y-%m-%d}" if lot and lot.aged_from else None,
        "wine_gallons": gallons(row.wine_gallons),
        "proof_gallons": gallons(row.proof_gallons),
    }  # fmt: skip


def _cases(row: Movement) -> Cell:
    lot = row.from_lot
    if not row.amount or lot is None or not lot.per_case:
        return None
    cases, loose = divmod(row.amount, lot.per_case)
    return f"{cases} cases, {loose} bottles" if loose else f"{cases} cases"


TRANSFER_SHIPPED = Kind(
    slug="transfers-shipped",
    title="Transfer record, shipper's half",
    section="27 CFR 19.620",
    rows=shipped,
    is_per_entry=True,
    signed_as="transfer record",
    when="On lading; the original travels with the shipment (27 CFR 19.405)",
    heads=(
        Column("serial_no", "Serial number"),
        Column("f5100_16_serial", "TTB F 5100.16, serial"),
        Column("f5100_16_date", "Its date"),
        Column("consignor_name", "Consignor"),
        Column("consignor_dsp_no", "Its plant number"),
        Column("account_removed_from", "Removed from"),
        Column("consignee_name", "Consignee"),
        Column("consignee_dsp_or_bwc_no", "Its plant number"),
        Column("container_type", "Type of container"),
        Column("effective_rate_elements", "Elements of an effective tax rate"),
        Column("production_facility_note", "From a production facility"),
        Column("conveyance_id", "Conveyance"),
        Column("seal_ids", "Seals or locks"),
        Column("transfer_date", "Date"),
        *SIGNED,
    ),
    columns=(
        Column("lot_or_serial_nos", "Lot or serial numbers", 14),
        Column("kind", "Kind", 14),
        Column("producer_or_processor_name", "Producer, warehouseman or processor", 14),
        Column("producer_plant_no", "Its plant number", 9),
        figure("proof", "Proof", 6),
        Column("age_ymd", "Age", 9),
        Column("year_of_production", "Year of production", 7),
        Column("packages_or_cases_count", "Packages or cases", 8),
        Column("dates_of_fill", "Date of fill", 8),
        figure("wine_gallons", "Wine gallons"),
        figure("proof_gallons", "PG"),
    ),
    operations=(SHIP,),
)
