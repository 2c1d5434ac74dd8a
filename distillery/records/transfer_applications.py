"""Applications for transfer in bond, TTB F 5100.16 (27 CFR 19.403)."""

from collections.abc import Iterator

from distillery.records.base import Column, Kind, Row
from distillery.records.cells import (
    joined,
    kind,
    told,
)
from distillery.records.span import Span

SHIP, RECEIVE = "ship-in-bond", "receive-in-bond"


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
