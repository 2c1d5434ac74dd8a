"""The tank summary: spirits of 190 proof and over in storage tanks, by kind (27 CFR 19.593)."""

from collections import defaultdict
from collections.abc import Iterator
from datetime import date

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import gallons, kind, origin, plant_no, producer, reference
from distillery.records.span import Span
from distillery.records.tank_fills import Fill, Step, fills
from distillery.tables import operation_title

HEADS = ("kind", "producer_name", "producer_plant_no", "origin")


def rows(span: Span) -> Iterator[Row]:
    """A running record for each kind and maker, with the balance at each month's end."""
    groups: dict[tuple[Cell, ...], list[tuple[Fill, Step]]] = defaultdict(list)
    for fill in fills(span):
        if fill.is_high:
            lot = fill.first_lot
            key: tuple[Cell, ...] = (kind(lot), producer(lot), plant_no(lot), origin(lot))
            groups[key] += [(fill, step) for step in fill.steps]
    for key, steps in groups.items():
        steps.sort(key=lambda pair: (pair[1].entry.happened_at, pair[1].entry.number))
        yield from _rows_of(dict(zip(HEADS, key, strict=True)), steps, span)


def _rows_of(heads: dict[str, Cell], steps: list[tuple[Fill, Step]], span: Span) -> Iterator[Row]:
    dated = [(span.date(step.entry.happened_at), fill, step) for fill, step in steps]
    balance = sum(step.change for day, _, step in dated if day < span.first)
    within = [one for one in dated if one[0] >= span.first]
    if not (balance or within):
        return
    if balance:
        cells = {"date": f"{span.first:%Y-%m-%d}", "what": "Brought forward"}
        yield Row({**heads, **cells, "pg_remaining": gallons(balance)})
    ends = list(span.month_ends())
    for day, fill, step in within:
        while ends and ends[0] < day:
            yield _month_end(heads, ends.pop(0), balance)
        balance += step.change
        yield Row({**heads, **_cells(fill, step, balance, span)}, step.entry)
    for end in ends:
        yield _month_end(heads, end, balance)


def _month_end(heads: dict[str, Cell], end: date, balance: int) -> Row:
    cells = {"date": f"{end:%Y-%m-%d}", "what": "Balance at month's end"}
    return Row({**heads, **cells, "pg_remaining": gallons(balance)}, is_total=True)


def _cells(fill: Fill, step: Step, balance: int, span: Span) -> dict[str, Cell]:
    return {
        "date": span.day(step.entry.happened_at),
        "what": operation_title(step.entry.operation),
        "tank": fill.vessel.code,
        "pg_in": gallons(step.deposited) if step.put_in else None,
        "pg_out": gallons(step.withdrawn) if step.taken else None,
        "gain_or_loss": gallons(step.found) if step.found else None,
        "water": gallons(step.water) if step.water else None,
        "pg_remaining": gallons(balance),
        "deposit_record": reference(step.entry),
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
