"""Flavorings with alcohol: gallons of a material that carry proof gallons (27 CFR 19.581(f)).

Such a lot stands in materials with all three quantities: gallons as its amount, the same as wine
gallons, and its proof gallons. Whatever leaves takes its share of all three.
"""

from decimal import Decimal

from ledger.gauging import proof_gallons
from ledger.looking import Held
from ledger.quantities import to_decimal, to_hundredths


def alcohol(gallons: int, proof: Decimal | None) -> tuple[int, int]:
    """(wine gallons, proof gallons) in hundredths of a flavoring at *proof*; none without one.

    *gallons* in hundredths. Wine gallons × proof ÷ 100 (27 CFR 30.51), half up.
    """
    if not proof:
        return 0, 0
    return gallons, to_hundredths(proof_gallons(to_decimal(gallons), proof))


def alcohol_in(held: Held, amount: int) -> tuple[int, int]:
    """(wine gallons, proof gallons) that *amount* of the material in *held* carries away.

    What the holding has less what is left by proportion, so that the parts add up to the whole;
    beyond the book nothing more than it has.
    """
    if held.amount <= 0 or amount >= held.amount:
        return held.wine_gallons, held.proof_gallons
    left = held.amount - amount
    wine, proof = (
        whole - (2 * whole * left + held.amount) // (2 * held.amount)
        for whole in (held.wine_gallons, held.proof_gallons)
    )
    return wine, proof
