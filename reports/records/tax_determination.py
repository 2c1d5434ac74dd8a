"""Records of tax determination: the document and what its proof gallons come from (19.611)."""

from collections.abc import Iterator

from distillery.named_cases import told_of
from distillery.records.base import NOT_ASKED, SAME_DAY, Cell, Column, Kind, Row, figure
from distillery.records.cells import gallons, joined, kind, told
from distillery.records.span import Span
from ledger.models import Lot, Movement
from reports.records.determined import by_rate, documents

TO = ("tax_determined", "taxpaid")
VOID = "cancel-invoice"


def rows(span: Span) -> Iterator[Row]:
    """A row for each lot of each document; a document taken back stands with its reversal."""
    rates = {
        number: by_rate(document) for document in documents(span) for number in document.entries
    }
    gone = {entry.document: span.day(entry.happened_at) for entry in span.of("goods-gone")}
    for row in span.movements:
        if row.purpose == "remove" and row.to_account in TO:
            yield Row(_cells(row, rates.get(row.entry.number), gone, span), row.entry)


def _cells(row: Movement, rates: Cell, gone: dict[str, str], span: Span) -> dict[str, Cell]:
    origin = row.entry.reverses or row.entry.corrects or row.entry
    form = span.forms.get(origin.pk) or {}
    lot = row.from_lot
    return {
        "document_serial_no": row.entry.document or origin.document,
        "date": span.day(row.at),
        "consignee": joined(
            told(form, name) for name in ("consignee", "consignee_address", "consignee_state")
        ) or ("own stock outside bond" if row.to_account == "taxpaid" else None),
        "kind": kind(lot),
        "lot": lot.code if lot else None,
        "data_to_compute_total_pg": told_quantity(row, lot, told_of(form, lot.code) if lot else ""),
        "proof_gallons": gallons(row.proof_gallons),
        "pg_per_effective_rate": rates,
        "initials": told(form, "initials"),
        "gone": gone.get(row.entry.document)
        or ("not gone yet" if told(form, "not_gone") else NOT_ASKED),
    }  # fmt: skip


def told_quantity(row: Movement, lot: Lot | None, numbers: str = "") -> str:
    """Bottles by size and proof, or gallons by proof: what proof gallons are computed from.

    With the *numbers* of the cases, where the record names them.
    """
    if row.amount and lot is not None and lot.unit == "each":
        return f"{row.amount} packages, {gallons(row.wine_gallons):,} gal"
    if row.amount and lot is not None and lot.bottle_ml:
        cases, loose = divmod(abs(row.amount), lot.per_case or abs(row.amount) + 1)
        parts = [f"{cases} case{'' if cases == 1 else 's'} of {lot.per_case}" if cases else "",
                 f"{loose} bottle{'' if loose == 1 else 's'}" if loose else ""]  # fmt: skip
        counted = " and ".join(part for part in parts if part)
        proof = f"{lot.label_proof / 10:.1f}" if lot.label_proof else "label"
        sign = "less " if row.amount < 0 else ""
        cases_no = f", cases {numbers}" if numbers else ""
        return f"{sign}{counted}, {lot.bottle_ml} mL, {proof} proof{cases_no}"
    proof = "" if row.proof is None else f" at {row.proof / 10:.1f} proof"
    return f"{gallons(row.wine_gallons):,} gal{proof}"


TAX_DETERMINATION = Kind(
    slug="tax-determination",
    title="Tax determination",
    section="27 CFR 19.611",
    rows=rows,
    when=SAME_DAY,
    columns=(
        Column("document_serial_no", "Document", 11),
        Column("date", "Date", 9),
        Column("consignee", "Consignee", 16),
        Column("kind", "Kind", 13),
        Column("lot", "Lot", 8),
        Column("data_to_compute_total_pg", "Quantity", 18),
        figure("proof_gallons", "PG"),
        Column("pg_per_effective_rate", "PG at each rate, document", 12),
        Column("initials", "Signed or initialled", 7),
        Column("gone", "Gone", 8),
    ),
    operations=("remove", VOID, "goods-gone"),
    notes=(
        "One document is one withdrawal. Rates are those of 26 U.S.C. 5001; its proof gallons at "
        "each are rounded to the tenth over the whole document.",
    ),
)
