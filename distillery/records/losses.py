"""Losses, thefts and shortages (27 CFR 19.461 to 19.465)."""

from collections.abc import Iterator

from distillery.records.base import NOT_ASKED, Cell, Column, Kind, Row, figure
from distillery.records.cells import account, amount, gallons, joined, kind, reference, told
from distillery.records.span import Span
from ledger.models import Movement

LOST = ("loss", "shortage", "taxpaid_loss")
THEFT = ("theft", "missing")


def rows(span: Span) -> Iterator[Row]:
    """A row for each quantity lost, and the sum of each cause."""
    sums: dict[str, int] = {}
    for row in span.movements:
        if row.to_account in LOST and (row.proof_gallons or row.amount):
            cause = cause_of(row)
            sums[cause] = sums.get(cause, 0) + row.proof_gallons
            yield Row(_cells(row, cause, span), row.entry)
    for cause, total in sorted(sums.items()):
        cells: dict[str, Cell] = {"date_found": "Sum", "cause": cause, "pg_lost": gallons(total)}
        yield Row(cells, is_total=True)


def cause_of(row: Movement) -> str:
    """The purpose in words; a shortage and what was lost in transit by their names."""
    if row.to_account == "shortage":
        return "unexplained shortage"
    return {"transit": "in transit", "missing": "missing"}.get(row.purpose, row.purpose)


def _cells(row: Movement, cause: str, span: Span) -> dict[str, Cell]:
    form = span.form(row.entry)
    is_taxed = row.taxed or row.to_account == "shortage"
    vessel = row.from_vessel
    return {
        "date_found": span.day(row.at),
        "cause": cause,
        "container": vessel.code if vessel else None,
        "container_type": vessel.get_kind_display() if vessel else None,
        "account": account(row.from_account),
        "kind": kind(row.from_lot),
        "lot": row.from_lot.code if row.from_lot else None,
        "quantity": amount(row),
        "pg_lost": gallons(row.proof_gallons),
        "theft_flag": "yes" if row.purpose in THEFT else "no",
        "how_found": told(form, "found_how", "how", "note"),
        "ttb_reported_date": told(form, "reported")
        or (None if row.purpose in THEFT else NOT_ASKED),
        "tax_paid_or_claim_ref": joined(
            ("tax is due" if is_taxed else None, told(form, "excused", "claim"))
        ) or NOT_ASKED,
        "related_record": reference(row.entry),
    }  # fmt: skip


LOSSES = Kind(
    slug="losses",
    title="Losses and shortages",
    section="27 CFR 19.462",
    rows=rows,
    when="On discovery: emptied, accident, unusual gauge, inventory (27 CFR 19.462(a))",
    columns=(
        Column("date_found", "Found", 9),
        Column("cause", "Cause", 10),
        Column("container", "Container"),
        Column("container_type", "Its type", 7),
        Column("account", "Account", 9),
        Column("kind", "Kind", 13),
        Column("lot", "Lot", 9),
        Column("quantity", "Counted", 8),
        figure("pg_lost", "PG lost"),
        Column("theft_flag", "Theft", 5),
        Column("how_found", "How it was found", 12),
        Column("ttb_reported_date", "Told to TTB", 8),
        Column("tax_paid_or_claim_ref", "Tax, or claim", 9),
        Column("related_record", "Related record", 12),
    ),
    operations=(
        "lose",
        "count",
        "break-bottles",
        "package-loss",
        "filter",
        "close-bottling",
        "dump",
    ),
)
