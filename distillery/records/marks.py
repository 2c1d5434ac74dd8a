"""What stands on packages, cases and their series (27 CFR 19.484, 19.485, 19.488, 19.490)."""

from collections.abc import Iterator
from decimal import Decimal

from distillery.models import CaseSerials, LotMark, PackageSerials
from distillery.package_serials import told as told_serials
from distillery.records.base import NOT_ASKED, Cell, Column, Kind, Row, figure
from distillery.records.cells import gallons, joined, kind, plant_no, producer, proof, reference
from distillery.records.span import Span
from ledger.models import Movement

FILLED = ("fill", "deposit", "move", "mingle")
BARREL = "barrel"


def _fills(span: Span) -> Iterator[Movement]:
    for row in span.movements:
        is_filled = row.to_vessel_kind == BARREL and row.to_account == "storage"
        if is_filled and row.from_vessel_id != row.to_vessel_id and row.purpose in FILLED:
            yield row


def package_rows(span: Span) -> Iterator[Row]:
    """The head of each package filled in production or storage."""
    marks: dict[int, list[str]] = {}
    for mark in LotMark.objects.filter(premises=span.premises, is_void=False):
        marks.setdefault(mark.lot_id, []).append(mark.mark)
    for row in _fills(span):
        lot, barrel = row.to_lot, span.barrels.get(row.to_vessel_id or 0)
        yield Row({
            "date": span.day(row.at),
            "producer_name": producer(lot),
            "producer_dsp_no": plant_no(lot),
            "kind": kind(lot),
            "lot_identification_no": lot.code if lot else None,
            "package": row.to_vessel.code if row.to_vessel else None,
            "BSA_or_OC": joined(marks.get(row.to_lot_id or 0, ())) or NOT_ASKED,
            "RC_G": f"RC-G {barrel.rated_gal.normalize():f}" if barrel else None,
            "pg": gallons(row.proof_gallons),
        }, row.entry)  # fmt: skip


def processing_rows(span: Span) -> Iterator[Row]:
    """The marks of packages filled in processing, those alike together."""
    numbers = {
        row.entry_id: told_serials((row.first, row.last))
        for row in PackageSerials.objects.filter(premises=span.premises)
    }
    for row in span.movements:
        if row.purpose != "package" or row.from_account != "processing":
            continue
        lot = row.to_lot
        filled = [one.amount for one in span.legs(row.entry)
                  if one.from_account == "glass" and one.to_lot_id == row.to_lot_id]  # fmt: skip
        yield Row({
            "processor_name": span.premises.name,
            "processor_dsp_no": span.premises.registry,
            "kind_or_product": kind(lot),
            "serial_or_lot_no": joined((numbers.get(row.entry_id), lot.code if lot else None)),
            "packages": sum(filled),
            "date_of_fill": span.day(row.at),
            "proof": proof(row.proof),
            "formula_no": lot.formula if lot and lot.formula else None,
            "pg": gallons(row.proof_gallons),
            "related_record": reference(row.entry),
        }, row.entry)  # fmt: skip


def case_rows(span: Span) -> Iterator[Row]:
    """The case numbers used by each act, with what the law wants on the case (27 CFR 19.489)."""
    found = CaseSerials.objects.filter(
        premises=span.premises, entry__happened_at__gte=span.start,
        entry__happened_at__lt=span.end,
    ).select_related("product")  # fmt: skip
    entries = {entry.pk: entry for entry in span.entries}
    for row in sorted(found, key=lambda one: (entries[one.entry_id].happened_at, one.pk)):
        entry, product = entries[row.entry_id], row.product
        yield Row({
            "series": getattr(row, "series", "") or "the plant's one series",
            "date_filled": span.day(entry.happened_at),
            "case_no_1_to_1000000": _numbers(row),
            "remnant_suffix_R": f"{row.last}R" if row.remnant_bottles else NOT_ASKED,
            "remnant_bottles": row.remnant_bottles or None,
            "kind": product.name if product else "mixed case",
            "plant": span.premises.registry,
            "proof": product.label_proof if product else None,
            "liters": _liters(row),
            "related_record": reference(entry),
        }, entry)  # fmt: skip


def _numbers(row: CaseSerials) -> Cell:
    if row.first is None:
        return NOT_ASKED
    return str(row.last) if row.first == row.last else f"{row.first} to {row.last}"


def _liters(row: CaseSerials) -> Cell:
    """Liters of one full case."""
    product = row.product
    if product is None:
        return None
    return (Decimal(product.bottle_ml * product.per_case) / 1000).quantize(Decimal("0.001"))


PACKAGE_MARKS = Kind(
    slug="package-marks",
    title="Marks of packages filled in production or storage",
    section="27 CFR 19.484",
    rows=package_rows,
    when="On filling (27 CFR 19.484, 19.485)",
    columns=(
        Column("date", "Filled", 9),
        Column("lot_identification_no", "Lot identification", 10),
        Column("package", "Package", 8),
        Column("kind", "Kind", 16),
        Column("producer_name", "Producer", 16),
        Column("producer_dsp_no", "Its plant number", 10),
        Column("BSA_or_OC", "BSA or OC", 6),
        Column("RC_G", "Rated capacity", 8),
        figure("pg", "PG"),
    ),
    operations=(
        "fill-barrels",
        "production-gauge",
        "package-to-package",
        "top-up",
        "oak-or-caramel",
    ),
)
PROCESSING_PACKAGE_MARKS = Kind(
    slug="package-marks-processing",
    title="Marks of packages filled in processing",
    section="27 CFR 19.488",
    rows=processing_rows,
    when="On filling (27 CFR 19.488)",
    columns=(
        Column("date_of_fill", "Filled", 9),
        Column("serial_or_lot_no", "Serial or lot number", 14),
        figure("packages", "Packages", 6),
        Column("kind_or_product", "Kind or product", 16),
        figure("proof", "Proof", 6),
        Column("formula_no", "Formula number", 9),
        figure("pg", "PG"),
        Column("processor_name", "Processor", 14),
        Column("processor_dsp_no", "Its plant number", 10),
        Column("related_record", "Related record", 12),
    ),
    operations=("package",),
)
CASE_SERIALS = Kind(
    slug="case-serials",
    title="Case serial numbers",
    section="27 CFR 19.490",
    rows=case_rows,
    when="On casing (27 CFR 19.490, 19.359)",
    columns=(
        Column("series", "Series", 8),
        Column("date_filled", "Filled", 9),
        Column("case_no_1_to_1000000", "Cases", 11),
        Column("remnant_suffix_R", "Remnant case", 8),
        figure("remnant_bottles", "Bottles in it", 7),
        Column("kind", "Product", 16),
        Column("plant", "Plant", 9),
        figure("proof", "Proof", 6),
        figure("liters", "Liters a case", 7),
        Column("related_record", "Related record", 12),
    ),
    operations=("bottle", "recase"),
    notes=("A number is used once, taken back or not.",),
)
