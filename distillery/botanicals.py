"""The botanical bill of a run: what went into still and basket, against the alcohol charged.

Grams per liter of pure alcohol is the figure by which runs compare (common practice, no source).
A proof gallon holds half a gallon of alcohol (27 CFR 30.11), and a gallon is 3.785411784 liters.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db.models import QuerySet, Sum

from distillery.material_draws import told
from distillery.plans import pg
from ledger.gauging import half_up
from ledger.models import Descent, Lot, Movement
from ledger.models.book import LIVE
from ledger.plan import Slip
from ledger.quantities import amount_from_book, to_decimal

LITERS_PER_PG = Decimal("3.785411784") / 2
GRAMS = {"g": Decimal(1), "lb": Decimal("453.59237")}  # a pound exactly, NIST Handbook 44
PURE = "g a liter of pure alcohol"
FRUITS = ("fraction", "feints", "batch", "spirits")
GENERATIONS = 4  # how far back a page looks for the runs a lot came of


@dataclass(frozen=True, slots=True)
class BillLine:
    """One botanical lot: how much in its own unit, its grams, and its share of the base."""

    lot: Lot
    amount: int
    grams: Decimal | None
    per_liter: Decimal | None

    @property
    def grams_told(self) -> str:
        """``1,800.00``; the quantity in its own unit where it is not weighed."""
        return self.told if self.grams is None else f"{self.grams:,f}"

    @property
    def told(self) -> str:
        """``600.00 g Juniper (G-4)``."""
        return told(self.lot, self.amount)

    @property
    def figures(self) -> str:
        """``600.00 g, 8.34 g a liter``, in its own unit where it is not weighed."""
        amount = f"{amount_from_book(self.amount, self.lot.unit):,f} {self.lot.unit}"
        return amount if self.per_liter is None else f"{amount}, {self.per_liter:f} g a liter"

    def __str__(self) -> str:
        return self.told if self.per_liter is None else f"{self.told}: {self.per_liter:f} {PURE}"


@dataclass(frozen=True, slots=True)
class Bill:
    """The botanicals of one run; ``proof`` is the base in hundredths of a proof gallon, None
    where nobody gauged what was charged."""

    lines: tuple[BillLine, ...]
    proof: int | None

    @property
    def grams(self) -> Decimal:
        """All botanicals that are weighed."""
        return sum((line.grams or Decimal(0) for line in self.lines), Decimal(0))

    @property
    def grams_told(self) -> str:
        """All of them together: ``1,800.00``."""
        return f"{self.grams:,f}"

    @property
    def per_liter(self) -> Decimal | None:
        """Grams of all of them a liter of pure alcohol."""
        return loading(self.grams, self.proof)

    @property
    def summary(self) -> str:
        """All together, in one sentence."""
        if self.per_liter is None:
            return f"Botanicals together {self.grams:,f} g; the alcohol charged was not gauged."
        return f"Botanicals together {self.grams:,f} g, {self.per_liter:f} {PURE}."

    def told(self) -> tuple[str, ...]:
        """The bill as lines of a plan; nothing when there are no botanicals."""
        return (*(f"{line}." for line in self.lines), self.summary) if self.lines else ()

    def slip(self) -> tuple[Slip, ...]:
        """How the figures were found; none without botanicals or without a gauged base."""
        if not self.lines or not self.proof:
            return ()
        liters = f"{half_up(liters_of(self.proof), '0.01'):,f} L"
        readings = tuple((f"{one.lot.name} ({one.lot.code})", one.figures) for one in self.lines)
        steps = (
            f"{pg(self.proof)} x {LITERS_PER_PG:f} = {liters} of pure alcohol",
            f"{self.grams_told} g ÷ {liters} = {self.per_liter:f} g a liter",
        )
        result = (("together", f"{self.grams_told} g"), (PURE[2:], f"{self.per_liter:f} g"))
        return (Slip("Botanical bill", readings, steps, result),)


def liters_of(proof: int) -> Decimal:
    """Liters of pure alcohol in *proof* hundredths of a proof gallon."""
    return to_decimal(proof) * LITERS_PER_PG


def loading(grams: Decimal, proof: int | None) -> Decimal | None:
    """Grams a liter of pure alcohol, to 0.01; None where the base is not known."""
    return half_up(grams / liters_of(proof), "0.01") if proof else None


def bill(used: Iterable[tuple[Lot, int]], proof: int | None) -> Bill:
    """The bill of (lot, amount in the book's integers) *used* on a base of *proof*."""
    sums: dict[Lot, int] = {}
    for lot, amount in used:
        sums[lot] = sums.get(lot, 0) + amount
    lines = []
    for lot, amount in sums.items():
        if amount > 0:
            grams = _grams(lot, amount)
            lines.append(
                BillLine(lot, amount, grams, None if grams is None else loading(grams, proof))
            )
    return Bill(tuple(lines), proof)


def _grams(lot: Lot, amount: int) -> Decimal | None:
    factor = GRAMS.get(lot.unit)
    return None if factor is None else half_up(amount_from_book(amount, lot.unit) * factor, "0.01")


def spells_of(run: Lot) -> list[int]:
    """The row numbers of *run* and of the runs it goes on from, newest first.

    A basket loaded from a lot younger than the run makes it go on as a new lot.
    """
    found = [run.pk]
    while True:
        rows = Movement.objects.filter(to_lot=found[-1], purpose="move", from_lot__stage="run")
        before = rows.exclude(from_lot=found[-1]).values_list("from_lot", flat=True).first()
        if before is None:
            return found
        found.append(before)


def _into(runs: Sequence[int], until: datetime | None) -> QuerySet[Movement]:
    """What moved into the runs with these row numbers, up to *until*."""
    rows = Movement.objects.filter(to_lot__in=runs)
    return rows if until is None else rows.filter(at__lte=until)


def used_in(runs: Sequence[int], until: datetime | None = None) -> list[tuple[Lot, int]]:
    """(lot, amount) of every botanical that went into the runs with these row numbers."""
    rows = _into(runs, until).filter(purpose="basket", from_account="materials")
    sums = rows.values_list("from_lot").annotate(sum=Sum("amount")).order_by("from_lot")
    amounts = dict(sums)
    lots = Lot.objects.in_bulk(list(amounts))
    return [(lots[pk], amount) for pk, amount in amounts.items()]


def base_of(runs: Sequence[int], until: datetime | None = None) -> int | None:
    """Proof gallons charged, in hundredths; None when wash, which nobody gauged, was in it."""
    rows = _into(runs, until).filter(purpose__in=("charge", "redistil_in"))
    rows = rows.exclude(from_lot__in=runs)
    if (rows.filter(from_account="fermenting").aggregate(s=Sum("wine_gallons"))["s"] or 0) > 0:
        return None
    return rows.aggregate(s=Sum("proof_gallons"))["s"] or 0


def bill_of(run: Lot) -> Bill:
    """The botanical bill of a run as the book has it now."""
    runs = spells_of(run)
    used = used_in(runs)
    return bill(used, base_of(runs) if used else None)


def bills_for(lot: Lot) -> list[tuple[Lot, Bill]]:
    """The bills a lot's page shows: its own when it is a run, else those of the runs it came of.

    Looks back through fractions and feints, but not through other runs.
    """
    if lot.stage == "run":
        runs = [lot]
    elif lot.stage in FRUITS:
        runs = _runs_before(lot)
    else:
        return []
    found = [(run, bill_of(run)) for run in runs]
    return [(run, one) for run, one in found if one.lines]


def _runs_before(lot: Lot) -> list[Lot]:
    seen, ahead, runs = {lot.pk}, [lot.pk], dict[int, Lot]()
    for _ in range(GENERATIONS):
        rows = Descent.objects.filter(LIVE, child__in=ahead).select_related("parent")
        parents = {row.parent for row in rows if row.parent_id not in seen}
        seen |= {parent.pk for parent in parents}
        runs |= {parent.pk: parent for parent in parents if parent.stage == "run"}
        ahead = [parent.pk for parent in parents if parent.stage in FRUITS]
        if not ahead:
            break
    return [runs[pk] for pk in sorted(runs)]
