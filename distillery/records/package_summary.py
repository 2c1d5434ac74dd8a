"""The package summary: barrels in storage by kind and maker (27 CFR 19.591)."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from itertools import groupby

from django.db.models import QuerySet, Sum

from distillery.records.base import Cell, Column, Kind, Row, figure
from distillery.records.cells import gallons, kind, origin, plant_no, producer, reference
from distillery.records.span import Span
from distillery.tables import operation_title
from ledger.models import Entry, Lot, Movement

STORAGE, BARREL = "storage", "barrel"
FOUND = ("gain", "loss", "shortage")
HEADS = ("kind", "origin_class", "state", "producer_plant_no", "producer_name")
ALL = ("All kinds and containers", None, None, None, None)
Key = tuple[Cell, ...]


def key_of(lot: Lot) -> Key:
    """What a summary is kept by: kind, source, State, plant number and producer."""
    return kind(lot), origin(lot), lot.state or None, plant_no(lot), producer(lot)


@dataclass(slots=True)
class Change:
    """What one entry did to one summary: packages and hundredths of a proof gallon."""

    into: int = 0
    out: int = 0
    found: int = 0
    packages_in: int = 0
    packages_out: int = 0


@dataclass
class Racks:
    """Proof gallons by summary and barrel; a barrel counts while it holds something."""

    held: dict[Key, dict[int, int]] = field(default_factory=lambda: defaultdict(dict))

    def add(self, key: Key, barrel: int, change: int) -> int:
        """+1 where the barrel came to hold something, -1 where it no longer does."""
        barrels = self.held[key]
        before = barrels.get(barrel, 0)
        barrels[barrel] = before + change
        return (barrels[barrel] != 0) - (before != 0)

    def balance(self, key: Key) -> tuple[int, int]:
        """(packages, proof gallons) of a summary."""
        held = [amount for amount in self.held[key].values() if amount]
        return len(held), sum(held)


def opening(span: Span) -> Racks:
    """What stood before the span, in two grouped queries."""
    racks = Racks()
    mine = Movement.objects.filter(entry__premises=span.premises, at__lt=span.start)
    for side, sign in (("to", 1), ("from", -1)):
        rows = mine.filter(**{f"{side}_account": STORAGE, f"{side}_vessel_kind": BARREL})
        sums = rows.values_list(f"{side}_lot", f"{side}_vessel").annotate(Sum("proof_gallons"))
        found = list(sums)
        lots = Lot.objects.select_related("designation").in_bulk({row[0] for row in found})
        for lot, vessel, total in found:
            racks.add(key_of(lots[lot]), vessel, sign * total)
    return racks


def changes(rows: list[Movement], racks: Racks) -> dict[Key, Change]:
    """What the movements of one entry did to each summary."""
    found: dict[Key, Change] = defaultdict(Change)
    for row in rows:
        out = row.from_account == STORAGE and row.from_vessel_kind == BARREL
        into = row.to_account == STORAGE and row.to_vessel_kind == BARREL
        one_key = out and into and key_of(row.from_lot) == key_of(row.to_lot)
        if one_key and row.from_vessel_id == row.to_vessel_id:
            continue  # a new lot in the same barrel: the summary does not change
        if out:
            _took(found[key_of(row.from_lot)], row, racks)
        if into:
            _gave(found[key_of(row.to_lot)], row, racks)
    return found


def _took(change: Change, row: Movement, racks: Racks) -> None:
    step = racks.add(key_of(row.from_lot), row.from_vessel_id or 0, -row.proof_gallons)
    change.packages_out -= step
    if row.to_account in FOUND:
        change.found -= row.proof_gallons
    else:
        change.out += row.proof_gallons


def _gave(change: Change, row: Movement, racks: Racks) -> None:
    step = racks.add(key_of(row.to_lot), row.to_vessel_id or 0, row.proof_gallons)
    change.packages_in += step
    if row.from_account in FOUND:
        change.found += row.proof_gallons
    else:
        change.into += row.proof_gallons


def rows(span: Span) -> Iterator[Row]:
    """Every transaction, the balances at each month's end, and the consolidation of each month."""
    racks = opening(span)
    for key in list(racks.held):
        if racks.balance(key) != (0, 0):
            yield Row({**_heads(key), **_balance(racks, key, span.first, "Brought forward")})
    ends = list(span.month_ends())
    for _, group in groupby(span.movements, key=lambda row: row.entry_id):
        together = list(group)
        day = span.date(together[0].at)
        while ends and ends[0] < day:
            yield from _month_end(racks, ends.pop(0))
        for key, change in changes(together, racks).items():
            yield Row({**_heads(key), **_cells(change, together[0].entry, span)},
                      together[0].entry)  # fmt: skip
    for end in ends:
        yield from _month_end(racks, end)
    yield from consolidation(span)


def _month_end(racks: Racks, end: date) -> Iterator[Row]:
    for key in list(racks.held):
        if racks.balance(key) != (0, 0):
            cells = _balance(racks, key, end, "Balance at month's end")
            yield Row({**_heads(key), **cells}, is_total=True)


def _heads(key: Key) -> dict[str, Cell]:
    return dict(zip(HEADS, key, strict=True))


def _balance(racks: Racks, key: Key, day: date, what: str) -> dict[str, Cell]:
    packages, held = racks.balance(key)
    return {
        "transaction_date": f"{day:%Y-%m-%d}", "what": what,
        "packages_balance": packages, "month_end_balance_pg": gallons(held),
    }  # fmt: skip


def _cells(change: Change, entry: Entry, span: Span) -> dict[str, Cell]:
    return {
        "transaction_date": span.day(entry.happened_at),
        "what": operation_title(entry.operation),
        "packages_count": change.packages_in or None,
        "proof_gallons": gallons(change.into) if change.into else None,
        "packages_out": change.packages_out or None,
        "proof_gallons_out": gallons(change.out) if change.out else None,
        "gain_or_shortage": gallons(change.found) if change.found else None,
        "related_record": reference(entry),
    }


def consolidation(span: Span) -> Iterator[Row]:
    """Proof gallons received, withdrawn and remaining in storage, all containers and kinds."""
    mine = Movement.objects.filter(entry__premises=span.premises, at__lt=span.start)
    held = _total(mine.filter(to_account=STORAGE)) - _total(mine.filter(from_account=STORAGE))
    crossing = [
        row for row in span.movements
        if (row.from_account == STORAGE) != (row.to_account == STORAGE)
    ]  # fmt: skip
    first = span.first
    for end in span.month_ends():
        month = [row for row in crossing if first <= span.date(row.at) <= end]
        came = sum(row.proof_gallons for row in month if row.to_account == STORAGE)
        went = sum(row.proof_gallons for row in month if row.from_account == STORAGE)
        held += came - went
        cells: dict[str, Cell] = {
            "transaction_date": f"{end:%Y-%m-%d}", "what": f"{first:%B %Y}, consolidated",
            "proof_gallons": gallons(came), "proof_gallons_out": gallons(went),
            "month_end_balance_pg": gallons(held),
        }  # fmt: skip
        yield Row({**_heads(ALL), **cells}, is_total=True)
        first = date(end.year + end.month // 12, end.month % 12 + 1, 1)


def _total(rows: QuerySet[Movement]) -> int:
    return rows.aggregate(total=Sum("proof_gallons"))["total"] or 0


PACKAGE_SUMMARY = Kind(
    slug="package-summary",
    title="Package summary",
    section="27 CFR 19.591",
    rows=rows,
    heads=(
        Column("kind", "Kind"),
        Column("origin_class", "Origin"),
        Column("state", "State"),
        Column("producer_plant_no", "Plant number of the producer"),
        Column("producer_name", "Producer"),
    ),
    columns=(
        Column("transaction_date", "Date", 9),
        Column("what", "What", 15),
        figure("packages_count", "Packages in"),
        figure("proof_gallons", "PG in"),
        figure("packages_out", "Packages out"),
        figure("proof_gallons_out", "PG out"),
        figure("gain_or_shortage", "Gain, or shortage"),
        figure("packages_balance", "Packages, balance"),
        figure("month_end_balance_pg", "Balance at month's end, PG"),
        Column("related_record", "Related record", 14),
    ),
    operations=(
        "fill-barrels", "production-gauge", "receive-in-bond", "ship-in-bond", "dump",
        "package-to-package", "dump-to-tank", "regauge", "top-up", "barrel-sample",
        "move-barrels", "rinse",
    ),
    notes=(
        "A package counts while the book has something in it. The consolidation takes in the "
        "whole storage account, gains as received and losses as withdrawn.",
    ),
)  # fmt: skip
