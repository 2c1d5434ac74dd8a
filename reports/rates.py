"""Rates of tax on distilled spirits, dated, with the amounts each tier takes in a year."""

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from ledger.errors import BadFact


@dataclass(frozen=True, slots=True)
class Tier:
    """A rate in dollars a proof gallon, up to *through* proof gallons of the calendar year."""

    rate: Decimal
    through: Decimal | None


@dataclass(frozen=True, slots=True)
class Rates:
    """What applies from *effective* on: the general rate and the tiers of the reduced ones."""

    effective: date
    general: Decimal
    tiers: tuple[Tier, ...]
    source: str


GENERAL = Decimal("13.50")

RATES = (
    Rates(
        date(2018, 1, 1),
        GENERAL,
        (
            Tier(Decimal("2.70"), Decimal(100_000)),
            Tier(Decimal("13.34"), Decimal(22_230_000)),
            Tier(GENERAL, None),
        ),
        "26 U.S.C. 5001(a)(1) and (c)(1)",
    ),
)


def rates_on(day: date) -> Rates:
    """The rates that apply on *day*. Raises BadFact before the first known."""
    known = [rates for rates in RATES if rates.effective <= day]
    if not known:
        raise BadFact(f"No rate of tax is kept here for {day:%B %d, %Y}.")
    return max(known, key=lambda rates: rates.effective)


def shared(rates: Rates, share: Decimal) -> Rates:
    """*rates* with the lowest tier cut to the plant's own *share* of a controlled group's.

    26 U.S.C. 5001(c)(2): a group has one allowance and may divide it; the tiers above follow on.
    """
    first, *rest = rates.tiers
    if first.through is None or share == first.through:
        return rates
    cut = first.through - share
    moved = [Tier(t.rate, None if t.through is None else t.through - cut) for t in rest]
    return replace(rates, tiers=(Tier(first.rate, share), *moved))


def split(
    proof_gallons: Decimal, rates: Rates, *, used: Decimal
) -> tuple[tuple[Decimal, Decimal], ...]:
    """(rate, proof gallons) parts of a removal after *used* proof gallons this calendar year.

    A negative removal, taken back, frees the tiers it had used. 26 U.S.C. 5001(c)(1):
    ``split(100, rates, used=99950)`` is 50 at 2.70 and 50 at 13.34.
    """
    low, high = sorted((used, used + proof_gallons))
    sign = 1 if proof_gallons >= 0 else -1
    parts = []
    floor: Decimal | None = None  # the first tier has no lower end
    for tier in rates.tiers:
        start = low if floor is None else max(low, floor)
        end = high if tier.through is None else min(high, tier.through)
        if end > start:
            parts.append((tier.rate, sign * (end - start)))
        floor = tier.through
    return tuple(parts)
