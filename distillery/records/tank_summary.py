"""The tank summary: spirits of 190 proof and over in storage tanks, by kind (27 CFR 19.593)."""

from collections import defaultdict
from collections.abc import Iterator
from datetime import date

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import gallons, kind, origin, plant_no, producer, reference
from distillery.records.span import Span
from distillery.records.tank_fills import Fill, Step, fills
from distillery.tables import operation_title
from ledger.models import Entry

HEADS = ("kind", "producer_name", "producer_plant_no", "origin")


def rows(span: Span) -> Iterator[Row]:
    """A running record for each kind and maker, with the balance at each month's end."""
    groups: dict[tuple[Cell, ...], list[Fill]] = defaultdict(list)
    for fill in fills(span):
        if fill.is_high:
            lot = fill.first_lot
            key: tuple[Cell, ...] = (kind(lot), producer(lot), plant_no(lot), origin(lot))
            groups[key].append(fill)
    for key, together in groups.items():
        yield from _rows_of(dict(zip(HEADS, key, strict=True)), together, span)


def _rows_of(heads: dict[str, Cell], together: list[Fill], span: Span) -> Iterator[Row]:
    balance = sum(fill.before[-1].balance for fill in together if fill.before)
    within = [(entry, fill, step) for fill in together for entry, step in fill.within]
    within.sort(key=lambda one: (one[0].happened_at, one[0].number))
    if balance:
        cells: dict[str, Cell] = {"what": "Brought forward", "pg_remaining": gallons(balance)}
        yield Row({**heads, "date": f"{span.first:%Y-%m-%d}", **cells})
    ends = list(span.month_ends())
    for entry, fill, step in within:
        day = span.date(entry.happened_at)
        while ends and ends[0] < day:
            yield _month_end(heads, ends.pop(0), balance)
        balance += step.change
        yield Row({**heads, **_cells(entry, fill, step, balance, span)}, entry)
    for end in ends:
        yield _month_end(heads, end, balance)


def _month_end(heads: dict[str, Cell], end: date, balance: int) -> Row:
    cells = {"date": f"{end:%Y-%m-%d}", "what": "Balance at month's end"}
    return Row({**heads, **cells, "pg_remaining": gallons(balance)}, is_total=True)


def _cells(entry: Entry, fill: Fill, step: Step, balance: int, span: Span) -> dict[str, Cell]:
    return {
        "date": span.day(entry.happened_at),
        "what": operation_title(entry.operation),
        "tank": fill.vessel.code if fill.vessel else None,
        "pg_in": gallons(step.deposited) if step.put_in else None,
        "pg_out": gallons(step.withdrawn) if step.taken else None,
        "gain_or_loss": gallons(step.found) if step.found else None,
        "water": gallons(step.water) if step.water else None,
        "pg_remaining": gallons(balance),
        "deposit_record": reference(entry),
    }


TANK_SUMMARY = Kind(
    slug="tank-summary",
    title="Tank summary, 190 proof and over",
    section="27 CFR 19.593",
    rows=rows,
    heads=(
        Column("kind", "Kind"),
        Column("producer_name", "Producer or warehouseman"),
        Column("producer_plant_no", "Its plant number"),
        Column("origin", "Origin"),
    ),
    columns=(
        Column("date", "Date", 9),
        Column("what", "What", 14),
        Column("tank", "Tank"),
        figure("pg_in", "PG in"),
        figure("pg_out", "PG out"),
        figure("gain_or_loss", "Gain, or loss"),
        figure("water", "Water, gallons"),
        figure("pg_remaining", "PG remaining"),
        Column("deposit_record", "Related record", 14),
    ),
    operations=("receive-in-bond", "transfer", "production-gauge", "draw-redistil"),
)
