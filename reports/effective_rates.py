"""Effective tax rates where wine or flavors earn a credit: average, reserve and standard.

Sources: 27 CFR 19.613 (average over this month and the five before), 19.614 (inventory reserve,
used up in order of entry), 19.615(b) (standard rate). Pure arithmetic in Decimal.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

MONTHS = 6
MOST_FLAVOR = Decimal("0.025")  # 19.615(b): PG from flavors in each PG, at most
RATE_STEP = Decimal("0.01")


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
