"""Case numbers: 1 to 1,000,000 and then from 1 again (27 CFR 19.490), a series a product.

A series is kept as one running count that never turns back, so that a number is not given a
second time when a bottling is taken back; what is printed is the count within its million.
"""

from dataclasses import dataclass

from distillery.models import CaseSerials, Product

SERIES = 1_000_000


@dataclass(frozen=True, slots=True)
class Serials:
    """The cases of one day: running numbers of the first and last, None when none was filled."""

    first: int | None
    last: int
    remnant_bottles: int

    def __str__(self) -> str:
        """As marked: ``1–43, 43R``; the remnant case bears the last full case's number and R."""
        told = []
        if self.first:
            one = self.first == self.last
            ends = (self.first,) if one else (self.first, self.last)
            told.append("–".join(str(printed(number)) for number in ends))
        if self.remnant_bottles and self.last:
            told.append(f"{printed(self.last)}R")
        return ", ".join(told)


def printed(number: int) -> int:
    """The number on the case for the running *number*."""
    return (number - 1) % SERIES + 1


def last_used(product: Product) -> int:
    """The last running number any bottling of *product* has used, taken back or not."""
    row = CaseSerials.objects.filter(product=product).order_by("-last").first()
    return row.last if row else 0


def next_serials(
    product: Product, *, cases: int, remnant_bottles: int, first: int | None = None
) -> Serials:
    """The numbers for *cases* more cases, after the last used or from *first* on."""
    start = first or last_used(product) + 1
    if not cases:
        return Serials(None, start - 1, remnant_bottles)
    return Serials(start, start + cases - 1, remnant_bottles)
