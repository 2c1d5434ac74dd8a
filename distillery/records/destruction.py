"""Spirits voluntarily destroyed (27 CFR 19.617, 19.459)."""

from collections.abc import Iterator

from distillery.named_cases import told_of
from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import (
    account,
    chosen,
    gallons,
    gauge_details,
    joined,
    kind,
    plant_no,
    producer,
    proof,
    told,
)
from distillery.records.span import Span
from ledger.models import Movement

OUTSIDE = ("materials", "fermenting", "taxpaid")  # not spirits in bond


def rows(span: Span) -> Iterator[Row]:
    """A row for each lot and container destroyed."""
    for row in span.movements:
        if row.to_account == "destroyed" and row.from_account not in OUTSIDE:
            yield Row(_cells(row, span), row.entry)


def _cells(row: Movement, span: Span) -> dict[str, Cell]:
    form, lot, vessel = span.form(row.entry), row.from_lot, row.from_vessel
    moment, code = span.moment(row.at), vessel.code if vessel else None
    kind_of_vessel = vessel.get_kind_display() if vessel else None
    return {
        "kind": kind(lot),
        "account": account(row.from_account),
        "quantity": gallons(row.proof_gallons),
        "bottles": row.amount if row.from_account == "finished" else None,
        "proof": proof(row.proof),
        "wine_gallons": gallons(row.wine_gallons),
        "gauge_elements": gauge_details(span, row.entry),
        "producer_or_processor_name_permit": joined(
            (told(form, "producer"), producer(lot), plant_no(lot))
        ),
        "container_identity_and_type": joined(
            (code, kind_of_vessel, told_of(form, lot.code if lot else ""))
        ),
        "date": moment[:10],
        "time": moment[11:],
        "place": told(form, "place"),
        "manner": chosen(row.entry, form, "manner"),
        "previously_withdrawn_and_returned": told(form, "was_withdrawn") or "no",
        "person_name": told(form, "person"),
        "person_title": told(form, "person_title"),
    }  # fmt: skip


DESTRUCTION = Kind(
    slug="destruction",
    title="Spirits destroyed",
    section="27 CFR 19.617",
    rows=rows,
    columns=(
        Column("date", "Date", 9),
        Column("time", "Time", 5),
        Column("kind", "Kind", 12),
        Column("account", "Account", 8),
        figure("quantity", "PG"),
        figure("bottles", "Bottles", 6),
        figure("proof", "Proof", 6),
        figure("wine_gallons", "Wine gallons"),
        Column("gauge_elements", "Gauge", 14),
        Column("producer_or_processor_name_permit", "Producer or processor", 12),
        Column("container_identity_and_type", "Container", 9),
        Column("place", "Place", 9),
        Column("manner", "Manner", 9),
        Column("previously_withdrawn_and_returned", "Withdrawn before and returned", 8),
        Column("person_name", "By or under", 9),
        Column("person_title", "Title", 8),
    ),
    operations=("destroy", "retire-feints"),
)
