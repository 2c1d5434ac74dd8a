"""Transfer records, shipper's and receiver's half, and the applications they rest on.

27 CFR 19.620, 19.621, 19.403.
"""

from collections.abc import Iterator

from distillery.records.base import NOT_ASKED, Cell, Column, Kind, Row, figure
from distillery.records.cells import (
    account,
    chosen,
    gallons,
    gauge_details,
    joined,
    kind,
    lot_age,
    pg,
    plant_no,
    producer,
    proof,
    told,
)
from distillery.records.span import Span
from ledger.models import Entry, Movement

SHIP, RECEIVE = "ship-in-bond", "receive-in-bond"
SIGNED = (
    Column("signature", "Signed under penalties of perjury"),
    Column("signed_by", "Signed by"),
    Column("signed_title", "Title"),
    Column("signed_on", "Signed on"),
)


def signed(entry: Entry, span: Span) -> dict[str, Cell]:
    """Who signed in the app, where somebody did; blank lines to sign otherwise."""
    form = span.form(entry)
    is_signed = told(form, "statement") is not None
    return {
        "signature": "signed in the book" if is_signed else None,
        "signed_by": told(form, "signer", "counter"),
        "signed_title": told(form, "signer_title", "counter_title"),
        "signed_on": span.day(entry.recorded_at) if is_signed else None,
    }


def shipped(span: Span) -> Iterator[Row]:
    """A row for each lot and container that left in bond."""
    for entry in span.of(SHIP):
        heads = {**_consigned(entry, span), **signed(entry, span)}
        legs = [row for row in span.legs(entry) if row.purpose == "ship"]
        for row in legs:
            yield Row({**heads, **_lot_shipped(row, span)}, entry)
        total = {"lot_or_serial_nos": "Total", "proof_gallons": pg(legs)}
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
    part = next((one for one in form.get("vessels") or [] if one.get("vessel") == code), {})
    cased = next((one for one in form.get("rows") or [] if lot and one.get("lot") == lot.code), {})
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
             told(cased, "serials"))
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


def received(span: Span) -> Iterator[Row]:
    """A row for each container filled from the conveyance."""
    for entry in span.of(RECEIVE):
        legs = span.legs(entry)
        came = [row for row in legs if row.purpose == "receive"]
        heads = {**_receipt(entry, came, legs, span), **signed(entry, span)}
        for row in came:
            yield Row({**heads, **_received(row, span)}, entry)
        total = {"tank_no": "Total", "pg_received": pg(came)}
        yield Row({**heads, **total}, entry, is_total=True)


def _receipt(
    entry: Entry, came: list[Movement], legs: list[Movement], span: Span
) -> dict[str, Cell]:
    form = span.form(entry)
    transit = [row for row in legs if row.purpose == "transit"]
    found = sum(row.proof_gallons * (1 if row.from_account == "gain" else -1) for row in transit)
    return {
        "transfer_record": entry.document,
        "f5100_16_serial": told(form, "application"),
        "consignor": joined((told(form, "consignor"), told(form, "consignor_address"))),
        "consignor_plant_no": told(form, "registry"),
        "receipt_date": span.day(entry.happened_at),
        "securing_devices_intact": chosen(entry, form, "seals"),
        "seal_ids": told(form, "seal_ids"),
        "weight_or_volume_specifics": gauge_details(span, entry),
        "pg_consigned": told(form, "consigned"),
        "loss_or_gain": gallons(found),
        "excess_loss_missing_tamper_theft_note": joined(
            (told(form, "reported"), told(form, "exemption"), told(form, "note"))
        ),
        "account_deposited_into": joined(account(row.to_account) for row in came),
    }


def _received(row: Movement, span: Span) -> dict[str, Cell]:
    code = row.to_vessel.code if row.to_vessel else ""
    parts = span.form(row.entry).get("barrels") or []
    part = next((one for one in parts if one.get("barrel") == code), {})
    return {
        "tank_no": code,
        "kind": kind(row.to_lot),
        "producer": joined((producer(row.to_lot), plant_no(row.to_lot))),
        "proof": proof(row.proof),
        "wine_gallons": gallons(row.wine_gallons),
        "pg_received": gallons(row.proof_gallons),
        "receiving_weights_packages": joined(
            (told(part, "gross"), told(part, "net"), told(part, "found"))
        ) or (NOT_ASKED if row.to_vessel_kind != "barrel" else None),
    }  # fmt: skip


def applications(span: Span) -> Iterator[Row]:
    """The applications named by the transfers of these days, each once."""
    seen = set()
    for entry in span.of(SHIP, RECEIVE):
        form = span.form(entry)
        number = told(form, "application")
        if number is None or (entry.operation, number) in seen:
            continue
        seen.add((entry.operation, number))
        ours, theirs = span.premises.registry, told(form, "registry")
        is_mine = entry.operation == RECEIVE
        yield Row({
            "serial_no": number,
            "approval_date": told(form, "application_date"),
            "applicant_plant": ours if is_mine else theirs,
            "consignor_plant": theirs if is_mine else ours,
            "kind_of_spirits": joined(kind(row.to_lot) for row in span.legs(entry)),
            "first_named_in": entry.document,
        }, entry)  # fmt: skip


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
TRANSFER_RECEIVED = Kind(
    slug="transfers-received",
    title="Transfer record, receiver's half",
    section="27 CFR 19.621",
    rows=received,
    is_per_entry=True,
    signed_as="transfer record",
    when="On receipt; completed it is the deposit record (27 CFR 19.407)",
    heads=(
        Column("transfer_record", "Transfer record"),
        Column("f5100_16_serial", "TTB F 5100.16, serial"),
        Column("receipt_date", "Received"),
        Column("consignor", "Consignor"),
        Column("consignor_plant_no", "Its plant number"),
        Column("account_deposited_into", "Deposited in"),
        Column("securing_devices_intact", "Seals or locks"),
        Column("seal_ids", "Their numbers"),
        Column("weight_or_volume_specifics", "Weight or volume"),
        Column("pg_consigned", "PG consigned"),
        Column("loss_or_gain", "Gain, or loss, in transit, PG"),
        Column("excess_loss_missing_tamper_theft_note", "Notes of excessive loss or tampering"),
        *SIGNED,
    ),
    columns=(
        Column("tank_no", "Tank or package", 12),
        Column("kind", "Kind", 16),
        Column("producer", "Producer", 20),
        figure("proof", "Proof"),
        figure("wine_gallons", "Wine gallons"),
        figure("pg_received", "PG received"),
        Column("receiving_weights_packages", "Receiving weights", 14),
    ),
    operations=(RECEIVE,),
)
APPLICATIONS = Kind(
    slug="transfer-applications",
    title="Applications for transfer in bond",
    section="27 CFR 19.403",
    rows=applications,
    when="Before the first transfer from that plant (27 CFR 19.403)",
    columns=(
        Column("serial_no", "TTB F 5100.16, serial", 12),
        Column("approval_date", "Its date", 9),
        Column("applicant_plant", "Applicant, the receiver", 14),
        Column("consignor_plant", "Consignor", 14),
        Column("kind_of_spirits", "Kind", 16),
        Column("first_named_in", "Named in", 12),
    ),
    operations=(SHIP, RECEIVE),
    notes=("The approved application itself is kept on file beside this list.",),
)
