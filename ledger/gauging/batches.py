"""Proof gallons of a batch of spirits, wine and flavors (27 CFR 19.246)."""

from collections.abc import Iterable
from decimal import Decimal

from .figures import Number, amount, between, half_up


def batch_proof_gallons(
    *, spirits_pg: Number, wines: Iterable[tuple[Number, Number]] = (), flavors_pg: Number = 0
) -> Decimal:
    """Proof gallons [0.1] in a batch, 27 CFR 19.246(b) and (c).

    `wines` are (wine gallons, percent alcohol by volume): a gallon of wine holds twice its percent
    / 100 proof gallons. Quantities are added at 0.1 proof gallon. Raises GaugingError.
    """
    spirits = amount(spirits_pg, name="spirits", unit="proof gallons")
    flavors = amount(flavors_pg, name="flavors", unit="proof gallons")
    parts = [spirits, flavors, *(_of_wine(*wine) for wine in wines)]
    return sum((half_up(part, "0.1") for part in parts), Decimal("0.0"))


def _of_wine(wine_gallons: Number, abv: Number) -> Decimal:
    volume_gal = amount(wine_gallons, name="wine", unit="gallons")
    return volume_gal * 2 * between(abv, 0, 100, name="strength of the wine", unit="percent") / 100
