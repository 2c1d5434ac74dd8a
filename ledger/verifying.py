"""Walking the whole book: the chain of seals, and everything kept beside the movements."""

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime

from django.db import connection

from ledger import guards, totals
from ledger.closing import total_rows
from ledger.models import (
    Descent,
    Entry,
    FlowTotal,
    Holding,
    Lot,
    Movement,
    Period,
    Premises,
    Vessel,
)
from ledger.seal import lot_facts, seal, sealing_text
from ledger.writing import head_facts, leg_facts

CHUNK = 500


@dataclass
class Report:
    """What verify found: counts of what was read, and one sentence for each fault."""

    entries: int = 0
    movements: int = 0
    faults: list[str] = field(default_factory=list)


@dataclass
class Rebuilt:
    """What the movements alone say: holdings by (lot, vessel, account), descents by pair."""

    holdings: dict[tuple[int, int, str], list[int]] = field(
        default_factory=lambda: defaultdict(lambda: [0, 0, 0])
    )
    descents: dict[tuple[int, int], list[int]] = field(
        default_factory=lambda: defaultdict(lambda: [0, 0, 0])
    )
    last_at: dict[tuple[int, int, str], datetime] = field(default_factory=dict)

    def take(self, row: Movement) -> None:
        """Add one movement."""
        three = (row.amount, row.wine_gallons, row.proof_gallons)
        for sign, lot, vessel, account in (
            (-1, row.from_lot_id, row.from_vessel_id, row.from_account),
            (1, row.to_lot_id, row.to_vessel_id, row.to_account),
        ):
            if vessel is not None and lot is not None:
                key = (lot, vessel, account)
                self.last_at[key] = max(self.last_at.get(key, row.at), row.at)
                total = self.holdings[key]
                for place, value in enumerate(three):
                    total[place] += sign * value
        if row.from_lot_id and row.to_lot_id and row.from_lot_id != row.to_lot_id:
            total = self.descents[(row.from_lot_id, row.to_lot_id)]
            for place, value in enumerate(three):
                total[place] += value


def _chunks(premises: Premises) -> Iterator[list[Entry]]:
    last = 0
    while True:
        rows = Entry.objects.filter(premises=premises, number__gt=last).order_by("number")
        part = list(rows.select_related("period", "amends", "reverses", "corrects")[:CHUNK])
        if not part:
            return
        yield part
        last = part[-1].number


def _by_entry(rows: Iterator, name: str) -> dict[int, list]:
    found: dict[int, list] = defaultdict(list)
    for row in rows:
        found[getattr(row, name)].append(row)
    return found


def _check_copies(
    row: Movement, entry: Entry, lots: dict[int, Lot], vessels: dict[int, Vessel]
) -> bool:
    """Whether what the movement copied from entry, lots and vessels still equals them."""
    before, after = lots.get(row.from_lot_id or 0), lots.get(row.to_lot_id or 0)
    out, into = vessels.get(row.from_vessel_id or 0), vessels.get(row.to_vessel_id or 0)
    return (
        (row.period_id, row.amends_id, row.at)
        == (entry.period_id, entry.amends_id, entry.happened_at)
        and row.from_designation_id == (before.designation_id if before else None)
        and row.to_designation_id == (after.designation_id if after else None)
        and row.from_vessel_kind == (out.kind if out else "")
        and row.to_vessel_kind == (into.kind if into else "")
        and all(type(n) is int for n in (row.amount, row.wine_gallons, row.proof_gallons))
    )


def _walk(premises: Premises, report: Report, rebuilt: Rebuilt) -> None:
    rows = Lot.objects.filter(premises=premises).select_related("designation")
    lots = {lot.pk: lot for lot in rows}
    opened: dict[int, list[Lot]] = defaultdict(list)
    for lot in lots.values():
        opened[lot.opened_by_id].append(lot)
    vessels = {vessel.pk: vessel for vessel in Vessel.objects.filter(premises=premises)}
    lot_codes = {pk: lot.code for pk, lot in lots.items()}
    vessel_codes = {pk: vessel.code for pk, vessel in vessels.items()}
    previous, expected = "", 1
    for part in _chunks(premises):
        ids = [entry.pk for entry in part]
        moves = Movement.objects.filter(entry__in=ids).order_by("entry", "leg")
        by_entry = _by_entry(moves.iterator(), "entry_id")
        for entry in part:
            if entry.number != expected:
                report.faults.append(f"Entry {expected} is missing.")
            expected = entry.number + 1
            legs = by_entry[entry.pk]
            facts = [leg_facts(row, lot_codes, vessel_codes) for row in legs]
            text = sealing_text(
                head_facts(entry, premises.registry),
                [lot_facts(lot) for lot in sorted(opened[entry.pk], key=lambda lot: lot.pk)],
                facts,
            )
            if seal(previous, text) != entry.seal:
                report.faults.append(f"Entry {entry.number} does not match its seal.")
            previous = entry.seal
            for row in legs:
                rebuilt.take(row)
                if not _check_copies(row, entry, lots, vessels):
                    report.faults.append(
                        f"Entry {entry.number}, movement {row.leg}: its copied facts differ."
                    )
            report.entries += 1
            report.movements += len(legs)
    if (premises.last_number, premises.last_seal) != (expected - 1, previous):
        report.faults.append("The last entry is not the one the premises row names.")


def _compare(
    kept: dict,
    told: dict,
    name: Callable[[tuple], str],
    faults: list[str],
) -> None:
    for key in kept.keys() | told.keys():
        if list(kept.get(key, [0, 0, 0])) != list(told.get(key, [0, 0, 0])):
            faults.append(f"{name(key)}: kept {kept.get(key)}, the movements say {told.get(key)}.")


def _check_kept(premises: Premises, rebuilt: Rebuilt, faults: list[str]) -> None:
    lots = dict(Lot.objects.filter(premises=premises).values_list("pk", "code"))
    vessels = dict(Vessel.objects.filter(premises=premises).values_list("pk", "code"))
    rows = Holding.objects.filter(premises=premises).values_list(
        "lot", "vessel", "account", "amount", "wine_gallons", "proof_gallons", "last_at"
    )

    def name(key: tuple) -> str:
        return f"Holding of {lots.get(key[0])} in {vessels.get(key[1])} ({key[2]})"

    _compare({tuple(row[:3]): list(row[3:6]) for row in rows}, rebuilt.holdings, name, faults)
    for lot, vessel, account, *_, last_at in rows:
        # The door skips the check of past moments by it.
        if rebuilt.last_at.get((lot, vessel, account), last_at) != last_at:
            told = name((lot, vessel, account))
            faults.append(f"{told}: its last moment is not that of the movements.")
    pairs = Descent.objects.filter(child__premises=premises).values_list(
        "parent", "child", "amount", "wine_gallons", "proof_gallons"
    )
    _compare(
        {tuple(row[:2]): list(row[2:]) for row in pairs}, rebuilt.descents,
        lambda key: f"Descent {lots.get(key[0])} to {lots.get(key[1])}", faults,
    )  # fmt: skip


def _check_totals(premises: Premises, faults: list[str]) -> None:
    closed = Period.objects.filter(premises=premises).exclude(state=Period.State.OPEN)
    sums = ("amount", "wine_gallons", "proof_gallons")
    names = [*sums, *(f"run_{name}" for name in sums)]
    for period in closed.order_by("month"):
        told = {
            tuple(getattr(row, f"{k}_id", getattr(row, k)) for k in totals.GROUP):
            [getattr(row, name) for name in names]
            for row in total_rows(premises, period)
        }  # fmt: skip
        kept = {
            tuple(row[: len(totals.GROUP)]): list(row[len(totals.GROUP) :])
            for row in FlowTotal.objects.filter(period=period).values_list(*totals.GROUP, *names)
        }
        if told != kept:
            faults.append(f"The stored totals of {period} differ from the movements.")


def _check_months(premises: Premises, faults: list[str]) -> None:
    """The states of the months against the premises row, and the seals they closed with."""
    seals = dict(Entry.objects.filter(premises=premises).values_list("number", "seal"))
    for period in Period.objects.filter(premises=premises).order_by("month"):
        is_closed = period.state != Period.State.OPEN
        through = premises.closed_through
        if is_closed != (through is not None and period.month <= through):
            state, said = ("closed", "open") if is_closed else ("open", "closed")
            faults.append(f"{period} is {state}, but the premises row says it was {said}.")
        number = period.closed_number
        if is_closed and period.closed_seal != seals.get(number or 0, ""):
            faults.append(f"{period} did not close with the seal of entry {number}.")


def verify(premises: Premises) -> Report:
    """Check the chain, the copies, the holdings, the descents and the closed months' totals."""
    premises = Premises.objects.get(pk=premises.pk)
    report, rebuilt = Report(), Rebuilt()
    report.faults += [f"The guard {name} is missing." for name in guards.missing(connection)]
    _walk(premises, report, rebuilt)
    _check_kept(premises, rebuilt, report.faults)
    _check_months(premises, report.faults)
    _check_totals(premises, report.faults)
    return report
