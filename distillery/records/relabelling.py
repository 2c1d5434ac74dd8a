"""Bottles relabelled or reclosed (27 CFR 19.604, 19.363)."""

from collections.abc import Iterator

from distillery.models import Product
from distillery.records.base import Cell, Column, Kind, Row
from distillery.records.cells import chosen, joined, kind, reference, told
from distillery.records.span import Span
from ledger.models import Entry, Lot

SLUGS = ("relabel", "reclose", "return-for-relabel")


def rows(span: Span) -> Iterator[Row]:
    """A row for each act."""
    approvals = dict(
        Product.objects.filter(premises=span.premises).values_list("code", "label_approval")
    )
    entries = span.of(*SLUGS)
    codes = {str(span.form(entry).get("lot") or "") for entry in entries}
    found = Lot.objects.filter(premises=span.premises, code__in=codes)
    lots = {lot.code: lot for lot in found.select_related("designation")}
    for entry in entries:
        yield Row(_cells(entry, lots, approvals, span), entry)


def _cells(
    entry: Entry, lots: dict[str, Lot], approvals: dict[str, str], span: Span
) -> dict[str, Cell]:  # fmt: skip
    form = span.form(entry)
    lot = lots.get(str(form.get("lot")))
    product = str(told(form, "product") or (lot.product if lot else ""))
    return {
        "date": span.day(entry.happened_at),
        "what": chosen(entry, form, "work") or entry.operation,
        "identity_of_spirits": joined((kind(lot) or product, told(form, "lot"))),
        "case_serials": told(form, "case_serials"),
        "cases": told(form, "cases"),
        "bottle_count": told(form, "bottles"),
        "cola_ref": told(form, "label_approval") or approvals.get(product) or None,
        "original_bottler_consent": told(form, "consent"),
        "new_lot": told(form, "new_lot")
        or joined(row.to_lot.code for row in span.legs(entry) if row.to_lot and row.to_lot != lot),
        "why": told(form, "why"),
        "related_record": reference(entry),
    }


RELABELLING = Kind(
    slug="relabelling",
    title="Relabelling and reclosing",
    section="27 CFR 19.604",
    rows=rows,
    columns=(
        Column("date", "Date", 9),
        Column("what", "What", 8),
        Column("identity_of_spirits", "Spirits", 16),
        Column("case_serials", "Case serial numbers", 11),
        Column("cases", "Cases", 6),
        Column("bottle_count", "Bottles", 6),
        Column("cola_ref", "Label approval", 10),
        Column("original_bottler_consent", "Consent of the bottler", 12),
        Column("new_lot", "Lot afterwards", 9),
        Column("why", "Why", 12),
        Column("related_record", "Related record", 11),
    ),
    operations=SLUGS,
)
