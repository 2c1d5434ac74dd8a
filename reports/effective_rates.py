"""Effective tax rates where wine or flavors earn a credit: batch, average, reserve, standard.

Sources: 27 CFR 19.246 (the formula of a batch), 19.613 (average over this month and the five
before), 19.614 (inventory reserve, used up in order of entry), 19.615(b) (standard rate);
26 U.S.C. 5010. Pure arithmetic in Decimal. The credit beside a reduced rate is read from
summaries of guidance only (see ``credited``), so it stays off until the plant switches it on.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

MONTHS = 6
MOST_FLAVOR = Decimal("0.025")  # 19.615(b): PG from flavors in each PG, at most
RATE_STEP, TENTH = Decimal("0.01"), Decimal("0.1")


@dataclass(frozen=True, slots=True)
class Wine:
    """Eligible wine in a batch: wine gallons, per cent of alcohol, dollars a wine gallon."""

    wine_gallons: Decimal
    abv: Decimal
    rate: Decimal

    @property
    def proof_gallons(self) -> Decimal:
        """What its alcohol comes to."""
        return self.wine_gallons * 2 * self.abv / 100


@dataclass(frozen=True, slots=True)
class Batch:
    """A batch as 19.246 sees it: spirits without flavors, wines, and alcohol from flavors.

    Proof gallons and wine gallons are taken to a tenth, as the section rounds them.
    """

    spirits: Decimal
    wines: tuple[Wine, ...] = ()
    flavors: Decimal = Decimal(0)

    @property
    def proof_gallons(self) -> Decimal:
        """The denominator: all proof gallons of the batch."""
        wines = sum((_tenth(wine.proof_gallons) for wine in self.wines), Decimal(0))
        return self.spirits + self.flavors + wines

    @property
    def taxed_flavors(self) -> Decimal:
        """Alcohol from flavors beyond 2.5 % of all proof gallons, to a tenth."""
        return _tenth(max(Decimal(0), self.flavors - MOST_FLAVOR * self.proof_gallons))

    def tax(self, rate: Decimal) -> Decimal:
        """The numerator in dollars at *rate* a proof gallon of spirits."""
        wines = sum((wine.wine_gallons * wine.rate for wine in self.wines), Decimal(0))
        return (self.spirits + self.taxed_flavors) * rate + wines

    def effective_rate(self, rate: Decimal) -> Decimal:
        """Dollars a proof gallon, to the cent, half up (19.246(b))."""
        return (self.tax(rate) / self.proof_gallons).quantize(RATE_STEP, ROUND_HALF_UP)


def credited(tier_rate: Decimal, *, general: Decimal, effective: Decimal) -> Decimal:
    """The rate of a removal that earns the credit: never below zero.

    The credit is the general rate less the batch's effective rate at it, taken from the tier's
    rate. Our reading of 26 U.S.C. 5010 and Industry Circular 2022-3, whose text was not read.
    """
    return max(Decimal(0), tier_rate - (general - effective))


def _tenth(value: Decimal) -> Decimal:
    return value.quantize(TENTH, ROUND_HALF_UP)


@dataclass(frozen=True, slots=True)
class Deposit:
    """One batch in the reserve: its bottling serial, proof gallons and rate in dollars a PG."""

    serial: str
    proof_gallons: Decimal
    rate: Decimal


def average_rate(months: Sequence[tuple[Decimal, Decimal]]) -> Decimal | None:
    """Tax over proof gallons of the last six (proof gallons, tax) *months*, to the cent.

    It is the quotient of the sums, not the mean of monthly rates. None when nothing was made.
    """
    last = months[-MONTHS:]
    proof = sum((row[0] for row in last), Decimal(0))
    tax = sum((row[1] for row in last), Decimal(0))
    return (tax / proof).quantize(RATE_STEP, ROUND_HALF_UP) if proof else None


def used_up(
    deposits: Iterable[Deposit], disposals: Iterable[Decimal]
) -> tuple[list[tuple[str, Decimal, Decimal]], dict[str, Decimal]]:
    """What each disposal takes from the reserve, in order of entry, and what is left.

    Every disposal counts, export, shortage and breakage too. Returns the parts as (serial,
    proof gallons, rate) and the rest by serial. Raises ValueError when more goes than is there.
    """
    entered = list(deposits)
    rest = {row.serial: row.proof_gallons for row in entered}
    rates = {row.serial: row.rate for row in entered}
    parts = []
    for wanted in disposals:
        for serial, left in rest.items():
            taken = min(left, wanted)
            if taken:
                parts.append((serial, taken, rates[serial]))
                rest[serial] -= taken
                wanted -= taken
        if wanted:
            raise ValueError(f"The reserve is short by {wanted} proof gallons.")
    return parts, rest


def standard_flavor(least: Decimal) -> Decimal:
    """Proof gallons of eligible flavor in each proof gallon that a standard rate may use."""
    return min(least, MOST_FLAVOR)
