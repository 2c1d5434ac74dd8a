"""The fillings of storage tanks: from the first deposit into an empty tank until it is empty.

27 CFR 19.592 asks for a new record each time an empty tank is filled. One act on one tank is one
step: what it put in, what it took out, and what a gauge found less or more.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import groupby

from django.db.models import Q

from distillery.records.span import LOTS, VESSELS, Span
from ledger.models import Entry, Lot, Movement, Vessel

STORAGE, BARREL = "storage", "barrel"
FOUND = ("gain", "loss", "shortage")
HIGH = 1900  # tenths of a degree: from 190 proof on 27 CFR 19.593 asks for a summary instead
_INSIDE_TANK = Q(from_account=STORAGE, from_vessel__isnull=False) & ~Q(from_vessel_kind=BARREL)
_INTO_TANK = Q(to_account=STORAGE, to_vessel__isnull=False) & ~Q(to_vessel_kind=BARREL)


@dataclass(slots=True)
class Step:
    """What one entry did to one tank, in hundredths of a proof gallon; water adds none."""

    entry: Entry
    put_in: list[Movement] = field(default_factory=list)
    taken: list[Movement] = field(default_factory=list)
    found: int = 0
    water: int = 0  # hundredths of a wine gallon
    balance: int = 0
    lot: Lot | None = None  # what stands in the tank afterwards

    @property
    def deposited(self) -> int:
        """Proof gallons put in."""
        return sum(row.proof_gallons for row in self.put_in)

    @property
    def withdrawn(self) -> int:
        """Proof gallons taken out."""
        return sum(row.proof_gallons for row in self.taken)

    @property
    def change(self) -> int:
        """What the tank has more than before."""
        return self.deposited - self.withdrawn + self.found


@dataclass(slots=True)
class Fill:
    """One filling of a tank: its steps, and its number in the year it was begun."""

    vessel: Vessel
    steps: list[Step] = field(default_factory=list)
    is_high: bool = False
    serial: str = ""

    @property
    def balance(self) -> int:
        """Proof gallons after its last step."""
        return self.steps[-1].balance if self.steps else 0

    @property
    def first_lot(self) -> Lot | None:
        """The lot the record was begun with."""
        return next((step.lot for step in self.steps if step.lot), None)


def history(span: Span) -> list[Movement]:
    """Every movement of storage tanks up to the end of the span, in its order."""
    rows = Movement.objects.filter(
        _INSIDE_TANK | _INTO_TANK, entry__premises=span.premises, at__lt=span.end
    )
    rows = rows.select_related("entry__reverses", "entry__corrects", *LOTS, *VESSELS)
    found = list(rows.order_by("at", "entry__number", "leg"))
    for row in found:
        row.entry.premises = span.premises
    return found


def fills(span: Span) -> list[Fill]:
    """Every filling up to the end of the span, in the order in which they were begun."""
    open_fills: dict[int, Fill] = {}
    found: list[Fill] = []
    numbers: Counter[int] = Counter()
    for entry, rows in _by_entry(history(span)):
        for vessel, step in _steps(entry, rows):
            fill = open_fills.get(vessel.pk)
            if fill is None:
                fill = open_fills[vessel.pk] = _begun(vessel, step, span, numbers)
                found.append(fill)
            step.balance = fill.balance + step.change
            fill.steps.append(step)
            if not step.balance:
                del open_fills[vessel.pk]
    return found


def _by_entry(rows: list[Movement]) -> Iterator[tuple[Entry, list[Movement]]]:
    for _, group in groupby(rows, key=lambda row: row.entry_id):
        together = list(group)
        yield together[0].entry, together


def _begun(vessel: Vessel, step: Step, span: Span, numbers: Counter[int]) -> Fill:
    fill = Fill(vessel, is_high=any(_is_high(row) for row in step.put_in))
    if not fill.is_high:
        year = span.date(step.entry.happened_at).year
        numbers[year] += 1
        fill.serial = f"{numbers[year]} of {year}"
    return fill


def _is_high(row: Movement) -> bool:
    """Whether it was put in at 190 proof or more; by its class where no proof is told."""
    if row.proof is not None:
        return row.proof >= HIGH
    if row.wine_gallons:
        return row.proof_gallons * 1000 >= HIGH * row.wine_gallons
    return row.to_designation is not None and row.to_designation.class_code == "spirits_190"


def _steps(entry: Entry, rows: list[Movement]) -> Iterator[tuple[Vessel, Step]]:
    """What the entry did to each tank; a heel renamed in its tank is nothing."""
    steps: dict[int, Step] = defaultdict(lambda: Step(entry))
    vessels: dict[int, Vessel] = {}
    for row in rows:
        out = row.from_vessel if _is_tank(row.from_account, row.from_vessel) else None
        into = row.to_vessel if _is_tank(row.to_account, row.to_vessel) else None
        for vessel, lot in ((out, row.from_lot), (into, row.to_lot)):
            if vessel is not None:
                vessels[vessel.pk] = vessel
                steps[vessel.pk].lot = lot
        if out and into and out == into:
            continue
        if out is not None:
            _took(steps[out.pk], row)
        if into is not None:
            _gave(steps[into.pk], row)
    for pk, step in steps.items():
        if step.change or step.deposited or step.withdrawn or step.water:
            yield vessels[pk], step


def _is_tank(account: str, vessel: Vessel | None) -> bool:
    return account == STORAGE and vessel is not None and vessel.kind != BARREL


def _took(step: Step, row: Movement) -> None:
    if row.to_account in FOUND:
        step.found -= row.proof_gallons
    elif row.to_account != "contraction":
        step.taken.append(row)


def _gave(step: Step, row: Movement) -> None:
    if row.from_account in FOUND:
        step.found += row.proof_gallons
    elif row.from_account == "water":
        step.water += row.wine_gallons
    elif row.from_account != "contraction":
        step.put_in.append(row)
