"""Samples taken, free of tax (27 CFR 19.616, 19.434, 19.435)."""

from collections.abc import Iterator
from typing import Any

from distillery.models import SampleTaken
from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import account, chosen, joined, kind, pg, proof, told
from distillery.records.span import Span
from ledger.models import Entry

SLUGS = ("sample", "barrel-sample")


def rows(span: Span) -> Iterator[Row]:
    """A row for each act of sampling."""
    exact = {
        row.entry_id: row
        for row in SampleTaken.objects.filter(
            premises=span.premises, entry__happened_at__gte=span.start,
            entry__happened_at__lt=span.end,
        ).select_related("lot", "vessel")
    }  # fmt: skip
    for entry in span.of(*SLUGS):
        cells = _cells(entry, exact.get(entry.pk), span)
        for pull in span.form(entry).get("samples") or [{}]:
            yield Row({**cells, **_pull(pull, entry, span)}, entry)


def _pull(pull: dict[str, Any], entry: Entry, span: Span) -> dict[str, Cell]:
    """One barrel of several that were sampled together."""
    code = told(pull, "barrel")
    if code is None:
        return {}
    mine = [row for row in span.legs(entry) if row.from_vessel and row.from_vessel.code == code]
    lots = [row.from_lot.code for row in mine if row.from_lot]
    return {
        "size": told(pull, "volume"), "from": joined((code, *lots)), "pg": pg(mine),
        "number": "1",
    }  # fmt: skip


def _cells(entry: Entry, exact: SampleTaken | None, span: Span) -> dict[str, Cell]:
    form, legs = span.form(entry), span.legs(entry)
    first = legs[0] if legs else None
    lot = first.from_lot if first else exact.lot if exact else None
    from_account = first.from_account if first else exact.account if exact else None
    return {
        "date": span.day(entry.happened_at),
        "account": account(from_account) if from_account else None,
        "purpose": chosen(entry, form, "purpose"),
        "size": _size(form, legs[0].from_lot.bottle_ml if legs and legs[0].from_lot else None),
        "number": told(form, "number", "bottles") or "1",
        "kind": kind(lot),
        "from": joined((told(form, "vessel", "barrel"), lot.code if lot else None)),
        "proof": proof(exact.proof) if exact else proof(first.proof) if first else None,
        "pg": pg(legs),
        "disposition": told(form, "disposition"),
        "outside_recipient_name_address": joined(
            told(form, name) for name in ("recipient", "recipient_address", "agreement")
        ),
        "schedule": told(form, "schedule"),
    }


def _size(form: dict[str, object], bottle_ml: int | None) -> Cell:
    if told(form, "bottles") and bottle_ml:
        return f"{bottle_ml} mL bottle"
    volume = told(form, "volume", "amount")
    return f"{volume} mL" if isinstance(volume, str) and volume.isdigit() else volume


SAMPLES = Kind(
    slug="samples",
    title="Samples",
    section="27 CFR 19.616",
    rows=rows,
    columns=(
        Column("date", "Date", 9),
        Column("account", "Account", 9),
        Column("purpose", "For", 13),
        Column("size", "Size", 8),
        figure("number", "Number", 6),
        Column("kind", "Kind", 14),
        Column("from", "From", 11),
        figure("proof", "Proof", 6),
        figure("pg", "PG"),
        Column("disposition", "What became of it", 12),
        Column("outside_recipient_name_address", "Outside recipient", 14),
        Column("schedule", "Schedule", 8),
    ),
    operations=SLUGS,
)
