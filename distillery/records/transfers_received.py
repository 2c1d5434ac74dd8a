"""The transfer record, receiver's half: the deposit record (27 CFR 19.621, 19.407)."""

from collections.abc import Iterator

from distillery.records.base import NOT_ASKED, Cell, Column, Kind, Row, figure
from distillery.records.cells import (
    account,
    chosen,
    gallons,
    gauge_details,
    joined,
    kind,
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

RECEIVE = "receive-in-bond"


def received(span: Span) -> Iterator[Row]:
    """A row for each container filled from the conveyance."""
    for entry in span.of(RECEIVE):
        legs = span.legs(entry)
        came = [row for row in legs if row.purpose == "receive"]
        heads = {**_receipt(entry, came, legs, span), **signed(entry, span)}
        for row in came:
            yield Row({**heads, **_received(row, span)}, entry)
        total: dict[str, Cell] = {"tank_no": "Total", "pg_received": pg(came)}
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
    part = named(parts, barrel=code)
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
