"""Removals by consignee and what still stands by lot, largest first, for the recall sheet."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from distillery.tracing.consignees import Consignee
from distillery.tracing.story import Gone, Stood
from ledger.shares import LotWords


@dataclass(frozen=True, slots=True)
class Removed:
    """All that one consignee had of one lot; hundredths of a proof gallon."""

    consignee: Consignee
    account: str
    lot: LotWords
    documents: tuple[str, ...]
    first: datetime
    last: datetime
    bottles: int
    proof_gallons: int
    traced: int


@dataclass(frozen=True, slots=True)
class Stands:
    """All that still stands of one lot."""

    lot: LotWords
    share: Decimal
    vessels: tuple[str, ...]
    bottles: int
    proof_gallons: int


def by_consignee(gone: Iterable[Gone]) -> list[Removed]:
    """A row for each consignee, account and lot, by the traced proof gallons in it."""
    groups: dict[tuple[Consignee, str, int], list[Gone]] = {}
    for one in gone:
        key = (one.consignee, one.ending.account, one.lot.pk)
        groups.setdefault(key, []).append(one)
    found = [_removed(rows) for rows in groups.values()]
    return sorted(found, key=lambda one: (-one.traced, one.first, one.lot.pk))


def _removed(rows: list[Gone]) -> Removed:
    entries = {one.ending.entry.pk: one.ending.entry for one in rows}
    days = [entry.happened_at for entry in entries.values()]
    documents = tuple(one.document or f"No. {one.number}" for one in entries.values())
    is_bottled = rows[0].lot.unit == "bottle"
    return Removed(
        rows[0].consignee, rows[0].ending.account, rows[0].lot, documents, min(days), max(days),
        sum(one.ending.amount for one in rows) if is_bottled else 0,
        sum(one.ending.proof_gallons for one in rows),
        sum(one.traced_proof_gallons for one in rows),
    )  # fmt: skip


def by_lot(stood: Iterable[Stood]) -> list[Stands]:
    """A row for each lot, by the proof gallons of it."""
    groups: dict[int, list[Stood]] = {}
    for one in stood:
        groups.setdefault(one.lot.pk, []).append(one)
    found = [
        Stands(
            rows[0].lot, rows[0].share, tuple(one.standing.vessel for one in rows),
            sum(one.standing.amount for one in rows) if rows[0].lot.unit == "bottle" else 0,
            sum(one.standing.proof_gallons for one in rows),
        )
        for rows in groups.values()
    ]  # fmt: skip
    return sorted(found, key=lambda one: (-one.proof_gallons * one.share, one.lot.pk))
