"""The tank record: spirits under 190 proof in a storage tank (27 CFR 19.592)."""

from collections.abc import Iterator
from datetime import date

from distillery.records.base import NOT_ASKED, Cell, Column, Kind, Row, figure
from distillery.records.cells import (
    gallons,
    joined,
    kind,
    lot_age,
    origin,
    plant_no,
    producer,
    reference,
    told,
)
from distillery.records.span import Span
from distillery.records.tank_fills import BARREL, Fill, Step, fills
from distillery.tables import operation_title
from ledger.models import Entry


def rows(span: Span) -> Iterator[Row]:
    """The record of every filling that stood in these days."""
    for fill in fills(span):
        if not fill.is_high:
            yield from rows_of(fill, span)


def rows_of(fill: Fill, span: Span) -> Iterator[Row]:
    """Brought forward, each step, and the balance at each month's end."""
    heads = head_of(fill)
    before, ends = fill.before, list(span.month_ends())
    balance = before[-1].balance if before else 0
    if before:
        cells: dict[str, Cell] = {"what": "Brought forward", "balance": gallons(balance)}
        yield Row({**heads, "date": f"{span.first:%Y-%m-%d}", **cells})
    for entry, step in fill.within:
        day = span.date(entry.happened_at)
        while ends and ends[0] < day:
            yield from month_end(heads, ends.pop(0), balance)
        yield Row({**heads, **step_cells(entry, step, span)}, entry)
        balance = step.balance
    for end in ends:
        yield from month_end(heads, end, balance)


def month_end(heads: dict[str, Cell], end: date, balance: int) -> Iterator[Row]:
    """The balance at a month's end; nothing before the first deposit or once it is empty."""
    if balance:
        told_end: dict[str, Cell] = {"date": f"{end:%Y-%m-%d}", "what": "Balance at month's end"}
        yield Row({**heads, **told_end, "month_end_balance_pg": gallons(balance)}, is_total=True)


def head_of(fill: Fill) -> dict[str, Cell]:
    """What the record says once of the filling."""
    lot = fill.first_lot
    return {
        "tank_id": fill.vessel.code if fill.vessel else None,
        "record_serial_from_1_each_calendar_year": fill.serial,
        "kind": kind(lot),
        "producer_name": producer(lot),
        "producer_plant_no": plant_no(lot),
        "origin": origin(lot),
    }


def step_cells(entry: Entry, step: Step, span: Span) -> dict[str, Cell]:
    """One act on the tank."""
    dumped = [row for row in step.put_in if row.from_vessel_kind == BARREL]
    packages = len({row.from_vessel_id for row in dumped})
    together = sum(row.proof_gallons for row in dumped)
    by_pipe = any(row.from_vessel_kind not in ("", BARREL) for row in step.put_in)
    form = span.forms.get(entry.pk, {})
    return {
        "date": span.day(entry.happened_at),
        "what": operation_title(entry.operation),
        "packages_dumped_count": packages or None,
        "packages_average_pg": gallons(together // packages) if packages else None,
        "pipeline_flag": "pipeline" if by_pipe else None,
        "youngest_age_ymd": lot_age(step.lot, span, entry) if step.put_in else NOT_ASKED,
        "pg_deposited": gallons(step.deposited) if step.put_in else None,
        "pg_withdrawn": gallons(step.withdrawn) if step.taken else None,
        "gain_or_loss": gallons(step.found) if step.found else None,
        "water": gallons(step.water) if step.water else None,
        "balance": gallons(step.balance),
        "related_record_and_serial": joined(
            (reference(entry), told(form, "document", "transfer_record"))
        ),
    }


TANK_RECORD = Kind(
    slug="tank-record",
    title="Tank record",
    section="27 CFR 19.592",
    rows=rows,
    heads=(
        Column("tank_id", "Tank"),
        Column("record_serial_from_1_each_calendar_year", "Record, serial number"),
        Column("kind", "Kind"),
        Column("producer_name", "Producer"),
        Column("producer_plant_no", "Producer's plant number"),
        Column("origin", "Origin"),
    ),
    columns=(
        Column("date", "Date", 9),
        Column("what", "What", 14),
        figure("packages_dumped_count", "Packages dumped in", 6),
        figure("packages_average_pg", "Average PG of them", 6),
        Column("pipeline_flag", "Pipeline", 6),
        Column("youngest_age_ymd", "Age of the youngest", 9),
        figure("pg_deposited", "PG deposited"),
        figure("pg_withdrawn", "PG withdrawn"),
        figure("gain_or_loss", "Gain, or loss"),
        figure("water", "Water, gallons"),
        figure("balance", "PG in tank"),
        figure("month_end_balance_pg", "Balance at month's end"),
        Column("related_record_and_serial", "Related record", 14),
    ),
    operations=(
        "production-gauge", "transfer", "receive-in-bond", "reduce", "fill-barrels",
        "opening-balance", "dump-to-tank", "return-to-bond",
    ),
    notes=(
        "Under 190 proof. A record begins when spirits come into the empty tank and ends when it "
        "is empty; its number counts the records begun in the calendar year, from 1.",
    ),
)  # fmt: skip
