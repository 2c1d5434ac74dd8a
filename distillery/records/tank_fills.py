"""The fillings of storage tanks: from the first deposit into an empty tank until it is empty.

27 CFR 19.592 asks for a new record each time an empty tank is filled. One act on one tank is one
step: what it put in, what it took out, and what a gauge found less or more. What happened before
the span is read as bare rows, by the keys of vessels and lots alone.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import groupby

from django.db.models import Q

from distillery.records.span import Span
from ledger.models import Designation, Entry, Lot, Movement, Vessel

STORAGE, BARREL = "storage", "barrel"
FOUND = ("gain", "loss", "shortage")
HIGH = 1900  # tenths of a degree: from 190 proof on 27 CFR 19.593 asks for a summary instead
_OUT_OF_TANK = Q(from_account=STORAGE, from_vessel__isnull=False) & ~Q(from_vessel_kind=BARREL)
_INTO_TANK = Q(to_account=STORAGE, to_vessel__isnull=False) & ~Q(to_vessel_kind=BARREL)


@dataclass(slots=True)
class Step:
    """What one entry did to one tank, in hundredths of a proof gallon; water adds none.

    ``entry`` is None before the span; ``lot_id`` is what stands in the tank afterwards.
    """

    entry: Entry | None
    put_in: list[Movement] = field(default_factory=list)
    taken: list[Movement] = field(default_factory=list)
    found: int = 0
    water: int = 0  # hundredths of a wine gallon
    balance: int = 0
    lot_id: int | None = None
    lot: Lot | None = None

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

    vessel_id: int
    steps: list[Step] = field(default_factory=list)
    is_high: bool = False
    serial: str = ""
    vessel: Vessel | None = None
    first_lot: Lot | None = None

    @property
    def balance(self) -> int:
        """Proof gallons after its last step."""
        return self.steps[-1].balance if self.steps else 0

    @property
    def before(self) -> list[Step]:
        """The steps before the span."""
        return [step for step in self.steps if step.entry is None]

    @property
    def within(self) -> list[tuple[Entry, Step]]:
        """The steps of the span with their entries."""
        return [(step.entry, step) for step in self.steps if step.entry is not None]


def history(span: Span) -> Iterator[Movement]:
    """Every movement of storage tanks up to the end of the span, in its order."""
    rows = Movement.objects.filter(
        _OUT_OF_TANK | _INTO_TANK, entry__premises=span.premises, at__lt=span.start
    )
    yield from rows.order_by("at", "entry__number", "leg").iterator()
    for row in span.movements:
        if _from_tank(row) or _to_tank(row):
            yield row


def fills(span: Span) -> list[Fill]:
    """The fillings that stood in the span, in the order in which they were begun."""
    if "tank fills" not in span.kept:
        stood = [fill for fill in _all(span) if fill.balance or fill.within]
        span.kept["tank fills"] = _named(stood)
    found: list[Fill] = span.kept["tank fills"]
    return found


def _all(span: Span) -> list[Fill]:
    open_fills: dict[int, Fill] = {}
    found: list[Fill] = []
    numbers: Counter[int] = Counter()
    entries = {entry.pk: entry for entry in span.entries}
    strong = set(Designation.objects.filter(class_code="spirits_190").values_list("pk", flat=True))
    for pk, group in groupby(history(span), key=lambda row: row.entry_id):
        together = list(group)
        year = span.date(together[0].at).year
        for vessel, step in _steps(entries.get(pk), together):
            fill = open_fills.get(vessel)
            if fill is None:
                high = any(_is_high(row, strong) for row in step.put_in)
                numbers[year] += not high
                serial = "" if high else f"{numbers[year]} of {year}"
                fill = open_fills[vessel] = Fill(vessel, is_high=high, serial=serial)
                found.append(fill)
            step.balance = fill.balance + step.change
            fill.steps.append(step)
            if not step.balance:
                del open_fills[vessel]
    return found


def _named(found: list[Fill]) -> list[Fill]:
    """Vessels and lots of *found*, in two queries."""
    steps = [step for fill in found for step in fill.steps if step.entry or step is fill.steps[0]]
    lots = Lot.objects.select_related("designation")
    by_id = lots.in_bulk({step.lot_id for step in steps if step.lot_id})
    vessels = Vessel.objects.in_bulk({fill.vessel_id for fill in found})
    for fill in found:
        fill.vessel = vessels[fill.vessel_id]
        for step in (*fill.steps[:1], *(step for _, step in fill.within)):
            step.lot = by_id.get(step.lot_id or 0)
        fill.first_lot = next((step.lot for step in fill.steps if step.lot), None)
    return found


def _is_high(row: Movement, strong: set[int]) -> bool:
    """Whether it was put in at 190 proof or more; by its class where no proof is told."""
    if row.proof is not None:
        return row.proof >= HIGH
    if row.wine_gallons:
        return row.proof_gallons * 1000 >= HIGH * row.wine_gallons
    return row.to_designation_id in strong


def _steps(entry: Entry | None, rows: list[Movement]) -> Iterator[tuple[int, Step]]:
    """What the entry did to each tank; a heel renamed in its tank is nothing."""
    steps: dict[int, Step] = defaultdict(lambda: Step(entry))
    for row in rows:
        out, into = _from_tank(row), _to_tank(row)
        if out:
            steps[out].lot_id = row.from_lot_id
        if into:
            steps[into].lot_id = row.to_lot_id
        if out == into:
            continue
        if out:
            _took(steps[out], row)
        if into:
            _gave(steps[into], row)
    for vessel, step in steps.items():
        if step.change or step.deposited or step.withdrawn or step.water:
            yield vessel, step


def _from_tank(row: Movement) -> int | None:
    """The storage tank it left, by its key."""
    is_tank = row.from_account == STORAGE and row.from_vessel_kind != BARREL
    return row.from_vessel_id if is_tank else None


def _to_tank(row: Movement) -> int | None:
    """The storage tank it went into, by its key."""
    is_tank = row.to_account == STORAGE and row.to_vessel_kind != BARREL
    return row.to_vessel_id if is_tank else None


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
