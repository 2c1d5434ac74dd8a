"""Case numbers: 1 to 1,000,000 and then from 1 again (27 CFR 19.490).

The plant has one series; on notice to TTB a brand or a size has its own, told by letters. A
series is kept as one running count that never turns back, so that a number is not given a
second time when a bottling is taken back; what is printed is the count within its million.
"""

from dataclasses import dataclass

from django.db.models import Sum

from distillery.models import CaseSerials, Product
from ledger.errors import BadFact
from ledger.models import Entry, Premises

SERIES = 1_000_000


@dataclass(frozen=True, slots=True)
class Serials:
    """The cases of one act: running numbers of the first and last, None when none was filled."""

    first: int | None
    last: int
    remnant_bottles: int = 0
    letters: str = ""

    def __str__(self) -> str:
        """As marked: ``1–43, 43R``; the remnant case bears the last full case's number and R."""
        told = []
        if self.first:
            ends = (self.first,) if self.first == self.last else (self.first, self.last)
            told.append("–".join(self._marked(number) for number in ends))
        if self.remnant_bottles and self.last:
            told.append(f"{self._marked(self.last)}R")
        return ", ".join(told)

    def _marked(self, number: int) -> str:
        return f"{self.letters}{printed(number)}"


def printed(number: int) -> int:
    """The number on the case for the running *number*."""
    return (number - 1) % SERIES + 1


def serials_of(row: CaseSerials) -> Serials:
    """The numbers of a kept row."""
    return Serials(row.first, row.last, row.remnant_bottles, row.series)


def last_used(premises: Premises, letters: str) -> int:
    """The last running number any act used in the series *letters*, taken back or not."""
    rows = CaseSerials.objects.filter(premises=premises, series=letters)
    row = rows.order_by("-last").first()
    return row.last if row else 0


def next_serials(
    premises: Premises,
    letters: str,
    *,
    cases: int,
    remnant_bottles: int = 0,
    first_marked: int | None = None,
) -> Serials:
    """The numbers of *cases* more cases: after the last used, or from *first_marked* on.

    *first_marked* is the number on the first case. Raises BadFact where it was given before.
    """
    last = last_used(premises, letters)
    start = _running(last, first_marked, letters) if first_marked else last + 1
    if not cases:
        return Serials(None, start - 1, remnant_bottles, letters)
    return Serials(start, start + cases - 1, remnant_bottles, letters)


def _running(last: int, marked: int, letters: str) -> int:
    """The running number of a case *marked* so, in the million that is being used."""
    if marked > SERIES:
        raise BadFact(
            "Case numbers go from 1 to 1,000,000 and begin again (27 CFR 19.490).",
            field="first_case",
        )
    number = (last // SERIES) * SERIES + marked
    if number <= last:
        raise BadFact(
            f"Case {letters}{marked} was used before. The last one used is "
            f"{letters}{printed(last)} (27 CFR 19.490).",
            field="first_case",
        )
    return number


def loose_left(product: Product) -> int:
    """Loose bottles of *product* that no later case took up, by the records that stand."""
    rows = CaseSerials.objects.filter(product=product, entry__reversed_by=None)
    sums = rows.aggregate(left=Sum("remnant_bottles"), taken=Sum("from_loose"))
    return (sums["left"] or 0) - (sums["taken"] or 0)


def keep_serials(
    entry: Entry, serials: Serials, *, product: Product | None, from_loose: int = 0
) -> None:
    """Keep the numbers an entry used, inside its transaction."""
    CaseSerials.objects.create(
        premises=entry.premises, product=product, entry=entry, series=serials.letters,
        first=serials.first, last=serials.last, remnant_bottles=serials.remnant_bottles,
        from_loose=from_loose,
    )  # fmt: skip
