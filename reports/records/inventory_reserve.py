"""The inventory reserve: bottled lots with a kept rate, used up by every disposal (19.614)."""

from collections import defaultdict
from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.span import Span
from ledger.models import Lot, Movement
from ledger.quantities import to_decimal
from reports.content_credits import UNCONFIRMED
from reports.models import EffectiveRate

TENTH = Decimal("0.1")


def _lots(span: Span) -> dict[str, EffectiveRate]:
    """The newest kept rate of each lot by batch."""
    rows = EffectiveRate.objects.filter(premises=span.premises, method=EffectiveRate.Method.BATCH)
    return {row.lot: row for row in rows.order_by("pk")}


def reserves(span: Span) -> Iterator[Row]:
    """Each bottled lot with a kept rate as a deposit, what left it, and what is left of it.

    The book tells each disposal from its own lot; between lots of a product that stand together
    order of entry is the store's to keep.
    """
    kept = _lots(span)
    found = Lot.objects.filter(premises=span.premises, code__in=kept, stage="bottled")
    lots = {lot.pk: lot for lot in found.order_by("pk")}
    rows = Movement.objects.filter(from_lot__in=lots) | Movement.objects.filter(to_lot__in=lots)
    moved: dict[int, list[Movement]] = defaultdict(list)
    for row in rows.select_related("entry").order_by("at", "pk"):
        key = row.to_lot_id if row.to_account == "finished" else row.from_lot_id
        if "finished" in (row.from_account, row.to_account) and key in lots:
            moved[key].append(row)
    for key, lot in lots.items():
        yield from _reserve(span, lot, moved[key], kept[lot.code])


def _reserve(span: Span, lot: Lot, rows: list[Movement], rate: EffectiveRate) -> Iterator[Row]:
    left = 0
    for row in rows:
        if row.from_account == row.to_account:
            continue
        change = row.proof_gallons if row.to_account == "finished" else -row.proof_gallons
        left += change
        if change and span.first <= span.date(row.at) <= span.last:
            yield Row(_cells(span, lot, row, change, left, rate))


def _cells(
    span: Span, lot: Lot, row: Movement, change: int, left: int, rate: EffectiveRate
) -> dict[str, Cell]:
    is_deposit = change > 0
    return {
        "date": span.day(row.at),
        "product": lot.product or lot.name,
        "bottling_serial": lot.code,
        "what": "finished" if is_deposit else row.to_account.replace("_", " "),
        "document": row.entry.document or f"No. {row.entry.number}",
        "pg_deposited": _tenth(change) if is_deposit else None,
        "pg_disposed": None if is_deposit else _tenth(-change),
        "pg_left": _tenth(left),
        "rate": rate.rate,
    }


def _tenth(hundredths: int) -> Decimal:
    return to_decimal(hundredths).quantize(TENTH, ROUND_HALF_UP)


RESERVE = Kind(
    slug="inventory-reserve",
    title="Inventory reserve",
    section="27 CFR 19.614",
    rows=reserves,
    is_summary=True,
    columns=(
        Column("date", "Date", 9),
        Column("product", "Product", 12),
        Column("bottling_serial", "Bottled lot", 9),
        Column("what", "What", 10),
        Column("document", "Document", 9),
        figure("pg_deposited", "PG in"),
        figure("pg_disposed", "PG out"),
        figure("pg_left", "PG left"),
        figure("rate", "Rate, $/PG"),
    ),
    notes=(
        "Every disposal counts, also export, shortage and breakage. A bottled lot is a deposit.",
        UNCONFIRMED,
    ),
)
