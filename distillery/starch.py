"""What alcohol the starch of a grain bill can give, for a person to compare with the wash."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from distillery.models import Material
from ledger.gauging import half_up
from ledger.looking import Look
from ledger.models import Lot, Movement
from ledger.plan import Question, Slip
from ledger.quantities import amount_from_book

# A pound of starch (162.141 g/mol a unit) gives two of ethanol (46.069 g/mol each), 0.5683 lb;
# at 0.15129 wine gallons a pound of 200 proof (27 CFR 30.64) that is 0.172 proof gallons.
PG_PER_LB_STARCH = Decimal("0.172")
REACHED = (Decimal("0.85"), Decimal("0.90"))  # of theory: what plants reach
LIKELY_ABV = (Decimal(4), Decimal(12))  # of a grain wash (common practice, no source)


def starch(look: Look, rows: Sequence[dict[str, Any]]) -> list[tuple[Lot, Decimal, Decimal]]:
    """(lot, pounds of it, pounds of starch in that) for the grain that has a starch figure.

    A grist of several grains has the starch of what was milled into it.
    """
    listed = Material.objects.filter(premises=look.premises, unit="lb", starch_pct__isnull=False)
    percent = {row.code: row.starch_pct for row in listed if row.starch_pct is not None}
    found = []
    for row in rows:
        lot = row["lot"]
        part = percent.get(lot.product) or _of_grist(lot, percent)
        if part:
            pounds = amount_from_book(row["amount"], lot.unit)
            found.append((lot, pounds, pounds * part / 100))
    return found


def _of_grist(lot: Lot, percent: dict[str, Decimal]) -> Decimal:
    """Per cent of starch in a lot milled of several grains; 0 when it was not milled."""
    milled = Movement.objects.filter(to_lot=lot, purpose="mill").select_related("from_lot")
    parts = [(row.amount, row.from_lot) for row in milled if row.from_lot]
    whole = sum(amount for amount, _ in parts)
    if whole <= 0:
        return Decimal(0)
    zero = Decimal(0)
    return sum((amount * percent.get(one.product, zero) for amount, one in parts), zero) / whole


def abv(proof_gallons: Decimal, wash_gal: Decimal) -> Decimal:
    """Alcohol by volume in percent: one proof gallon is half a gallon of alcohol."""
    return half_up(50 * proof_gallons / wash_gal, "0.1")


def expected(
    bill: Sequence[tuple[Lot, Decimal, Decimal]], wash_gal: Decimal
) -> tuple[Slip, tuple[Question, ...]]:
    """What the starch of *bill* can give in *wash_gal*, and a question when that is odd."""
    pounds = sum((part for _, _, part in bill), Decimal(0))
    theory = pounds * PG_PER_LB_STARCH
    low, high = (theory * share for share in REACHED)
    weak, strong = abv(low, wash_gal), abv(high, wash_gal)
    slip = Slip(
        "Expected alcohol",
        tuple(
            (lot.code, f"{weight:,f} lb, {half_up(part, 1)} lb starch")
            for lot, weight, part in bill
        ),
        (
            f"{half_up(pounds, 1)} lb starch x {PG_PER_LB_STARCH} = "
            f"{half_up(theory, '0.1')} PG if all of it turned to alcohol",
            f"Plants reach 85 to 90 %: {half_up(low, '0.1')} to {half_up(high, '0.1')} PG",
        ),
        (
            ("expected", f"{half_up(low, '0.1')} to {half_up(high, '0.1')} PG"),
            ("strength of the wash", f"{weak} to {strong} % ABV"),
        ),
    )
    if LIKELY_ABV[0] <= strong and weak <= LIKELY_ABV[1]:
        return slip, ()
    text = (
        f"This bill in {half_up(wash_gal, '0.1')} gal would make {weak} to {strong} % ABV. Keep it?"
    )
    return slip, (Question("odd-strength", text),)
