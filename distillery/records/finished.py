"""Finished products: what was bottled or packaged and what left, day by day (27 CFR 19.601)."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from django.db.models import Sum

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import account, gallons, joined, reference
from distillery.records.span import Span
from ledger.models import Lot, Movement

FINISHED = "finished"
DISPOSITIONS = {
    "other_plant": "transferred in bond", "tax_determined": "tax determined",
    "taxpaid": "tax determined, own stock outside bond", "hospital": "free of tax",
    "us": "free of tax, United States", "winery": "for wine", "export": "exported",
    "ftz": "foreign trade zone", "cmw": "customs manufacturing bonded warehouse",
    "cbw": "customs bonded warehouse", "vessels": "vessels and aircraft",
    "redistil": "to production for redistillation", "research": "samples, research or testing",
    "destroyed": "destroyed", "processing": "dumped for further processing", "loss": "loss",
    "shortage": "shortage", "write_in": "other",
}  # fmt: skip
OVERAGE, BOTTLED = "gain", ("processing", "glass")
Two = tuple[int, int]  # bottles, hundredths of a proof gallon
Product = tuple[str, int | None, int | None]  # name, bottle in mL, label proof in tenths


@dataclass(slots=True)
class Day:
    """One lot's day: sums by what happened, and the records they rest on."""

    filled: Two = (0, 0)
    overage: Two = (0, 0)
    received: Two = (0, 0)
    gone: dict[str, Two] = field(default_factory=dict)
    records: list[str] = field(default_factory=list)


def product_of(lot: Lot) -> Product:
    """What the summary is kept by; lots of one product stand together."""
    return lot.name, lot.bottle_ml, lot.label_proof


def rows(span: Span) -> Iterator[Row]:
    """A row for each product, day and way it left, with what stood before and after."""
    standing = opening(span)
    days: dict[Product, dict[date, Day]] = defaultdict(lambda: defaultdict(Day))
    for row in span.movements:
        for lot, sign in sides(row):
            note(days[product_of(lot)][span.date(row.at)], row, sign)
    for product in sorted({*standing, *days}, key=lambda one: (one[0], one[1] or 0, one[2] or 0)):
        yield from _rows_of(product, standing.get(product, (0, 0)), days.get(product, {}), span)


def opening(span: Span) -> dict[Product, Two]:
    """(bottles, proof gallons) by product before the span; two grouped queries and the lots."""
    sums: dict[int, Two] = defaultdict(lambda: (0, 0))
    mine = Movement.objects.filter(entry__premises=span.premises, at__lt=span.start)
    for side, sign in (("to", 1), ("from", -1)):
        found = mine.filter(**{f"{side}_account": FINISHED}).values_list(f"{side}_lot")
        for pk, amount, proof in found.annotate(Sum("amount"), Sum("proof_gallons")):
            sums[pk] = plus(sums[pk], (sign * amount, sign * proof))
    standing = {pk: two for pk, two in sums.items() if any(two)}
    products: dict[Product, Two] = defaultdict(lambda: (0, 0))
    for pk, lot in Lot.objects.in_bulk(standing).items():
        products[product_of(lot)] = plus(products[product_of(lot)], standing[pk])
    return dict(products)


def plus(one: Two, more: Two) -> Two:
    """The sum of two pairs."""
    return one[0] + more[0], one[1] + more[1]


def sides(row: Movement) -> Iterator[tuple[Lot, int]]:
    """(lot, +1 in or -1 out) where finished goods came or went; a move between stores is none."""
    if row.from_account == row.to_account and row.from_lot_id == row.to_lot_id:
        return
    if row.from_account == FINISHED and row.from_lot:
        yield row.from_lot, -1
    if row.to_account == FINISHED and row.to_lot:
        yield row.to_lot, 1


def note(day: Day, row: Movement, sign: int) -> None:
    """Add a movement to the day it belongs to."""
    two = row.amount, row.proof_gallons
    day.records.append(reference(row.entry))
    if sign < 0:
        to = _spirits_went_to(row)
        name = row.purpose if to == FINISHED else DISPOSITIONS.get(to, account(to))
        day.gone[name] = plus(day.gone.get(name, (0, 0)), two)
    elif row.from_account == OVERAGE or row.purpose == "count":
        day.overage = plus(day.overage, two)
    elif row.from_account in BOTTLED:
        day.filled = plus(day.filled, two)
    else:
        day.received = plus(day.received, two)


def _spirits_went_to(row: Movement) -> str:
    """Where it went; the emptied bottles of a dump go with their spirits."""
    if (row.to_account, row.purpose) != ("glass", "rework"):
        return row.to_account
    return "redistil" if row.entry.operation == "redistil-bottles" else "processing"


def _rows_of(product: Product, start: Two, days: dict[date, Day], span: Span) -> Iterator[Row]:
    name, bottle_ml, label_proof = product
    heads: dict[str, Cell] = {
        "product": name, "bottle_size": f"{bottle_ml} mL" if bottle_ml else None,
        "label_proof": None if label_proof is None else f"{Decimal(label_proof) / 10:.1f}",
    }  # fmt: skip
    standing = start
    for day, one in sorted(days.items()):
        after = plus(plus(plus(standing, one.filled), one.overage), one.received)
        for two in one.gone.values():
            after = plus(after, (-two[0], -two[1]))
        yield Row({**heads, **_day(day, one, standing, after)})
        for way, two in one.gone.items():
            yield Row({**heads, "date": f"{day:%Y-%m-%d}", "disposition_class": way,
                       **_pair("disposition", two)})  # fmt: skip
        standing = after
    if not days:
        end = {"date": f"{span.last:%Y-%m-%d}", **_pair("opening", standing)}
        yield Row({**heads, **end, **_pair("closing", standing)})


def _pair(name: str, two: Two) -> dict[str, Cell]:
    return {f"{name}_bottles": two[0], f"{name}_qty": gallons(two[1])}


def _day(day: date, one: Day, before: Two, after: Two) -> dict[str, Cell]:
    cells: dict[str, Cell] = {"date": f"{day:%Y-%m-%d}", "records": joined(one.records)}
    cells |= _pair("opening", before) | _pair("closing", after)
    for name, two in (
        ("bottled_or_packaged", one.filled), ("overages", one.overage), ("received", one.received),
    ):  # fmt: skip
        if any(two):
            cells |= _pair(name, two)
    return cells


FINISHED_PRODUCTS = Kind(
    slug="finished-products",
    title="Finished products, daily summary",
    section="27 CFR 19.601",
    rows=rows,
    is_summary=True,
    heads=(
        Column("product", "Product"),
        Column("bottle_size", "Bottle"),
        Column("label_proof", "Label proof"),
    ),
    columns=(
        Column("date", "Date", 9),
        figure("opening_bottles", "Bottles before"),
        figure("opening_qty", "PG before"),
        figure("bottled_or_packaged_bottles", "Bottles filled"),
        figure("bottled_or_packaged_qty", "PG bottled or packaged"),
        figure("received_bottles", "Bottles received"),
        figure("received_qty", "PG received"),
        figure("overages_bottles", "Bottles over"),
        figure("overages_qty", "PG over"),
        Column("disposition_class", "Went for", 14),
        figure("disposition_bottles", "Bottles gone"),
        figure("disposition_qty", "PG gone"),
        figure("closing_bottles", "Bottles after"),
        figure("closing_qty", "PG after"),
        Column("records", "Records", 16),
    ),
    operations=(
        "bottle", "package", "remove", "sample", "lose", "count", "rework", "break-bottles",
        "recase", "relabel", "destroy", "ship-in-bond", "opening-balance", "cancel-invoice",
        "goods-gone", "tip-back", "receive-in-bond", "redistil-bottles", "redistil-bottles",
    ),
)  # fmt: skip
