"""The inventory reserve: bottled lots with a kept rate, used up in order of entry (19.614)."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
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
    """Each deposit of a product and what every disposal took from it, in order of entry.

    A disposal of any bottle of the product takes from the oldest deposit that has something
    left, and a larger one closes it and runs into the next, whichever lot the bottle is of.
    """
    kept = _lots(span)
    found = Lot.objects.filter(premises=span.premises, code__in=kept, stage="bottled")
    lots = {lot.pk: lot for lot in found.order_by("pk")}
    deposits: dict[str, dict[str, int]] = defaultdict(dict)
    by_product: dict[str, list[Row]] = defaultdict(list)
    for row in _moved(lots):
        lot = lots[_lot_of(row)]
        product = lot.product or lot.name
        parts = _taken(row, lot, deposits[product])
        if span.first <= span.date(row.at) <= span.last:
            for part in parts:
                cells = _cells(span, row, part, product=product, rate=kept.get(part.serial))
                by_product[product].append(Row(cells, row.entry))
    for told in by_product.values():
        yield from told


@dataclass(frozen=True, slots=True)
class Part:
    """What one deposit gained (above zero) or gave, and what is left of it, in hundredths.

    No ``serial`` where more went than the product's deposits had.
    """

    serial: str
    change: int
    left: int


def _moved(lots: Mapping[int, Lot]) -> Iterator[Movement]:
    """Bottles of *lots* into and out of finished goods, without what was taken back."""
    rows = Movement.objects.filter(from_lot__in=lots, from_account="finished")
    rows |= Movement.objects.filter(to_lot__in=lots, to_account="finished")
    stands = rows.filter(entry__reverses=None, entry__reversed_by=None)
    for row in stands.select_related("entry").order_by("at", "entry__number", "leg"):
        if row.from_account != row.to_account and row.proof_gallons and _lot_of(row) in lots:
            yield row


def _lot_of(row: Movement) -> int:
    return (row.to_lot_id if row.to_account == "finished" else row.from_lot_id) or 0


def _taken(row: Movement, lot: Lot, deposits: dict[str, int]) -> list[Part]:
    """The parts of one movement; *deposits* (serial: left, oldest first) are changed."""
    if row.to_account == "finished":
        deposits[lot.code] = deposits.get(lot.code, 0) + row.proof_gallons
        return [Part(lot.code, row.proof_gallons, deposits[lot.code])]
    wanted, parts = row.proof_gallons, []
    for serial, left in deposits.items():
        taken = min(left, wanted)
        if taken:
            deposits[serial] -= taken
            wanted -= taken
            parts.append(Part(serial, -taken, deposits[serial]))
    return [*parts, Part("", -wanted, 0)] if wanted else parts


def _cells(
    span: Span, row: Movement, part: Part, *, product: str, rate: EffectiveRate | None
) -> dict[str, Cell]:  # fmt: skip
    is_deposit = row.to_account == "finished"
    return {
        "date": span.day(row.at),
        "product": product,
        "bottling_serial": part.serial or "no deposit left",
        "what": "finished" if is_deposit else row.to_account.replace("_", " "),
        "document": row.entry.document or f"No. {row.entry.number}",
        "pg_deposited": _tenth(part.change) if is_deposit else None,
        "pg_disposed": None if is_deposit else _tenth(-part.change),
        "pg_left": _tenth(part.left),
        "rate": rate.rate if rate else None,
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
        "Every disposal of the product takes from its oldest deposit, also export, shortage and "
        "breakage; a bottled lot is a deposit.",
        "The tax worksheet takes the rate of the lot that is named (27 CFR 19.247). A plant that "
        "uses the reserve (27 CFR 19.250) takes the rates of the deposits here instead.",
        UNCONFIRMED,
    ),
)
