"""Quantities of the book: whole hundredths (plain counts for things), Decimal at the edge.

SQLite keeps a DecimalField as a float, so the book keeps integers; see the rounding rule in
DEVELOPERS.md. ``to_hundredths`` rounds half up, once.
"""

from decimal import ROUND_HALF_UP, Decimal

from ledger.errors import BadFact

LIMIT = 10**15
COUNTED = frozenset({"bottle", "each"})
UNITS = {
    "lb": "pounds",
    "g": "grams",
    "gal": "gallons",
    "ml": "milliliters",
    "each": "each",
    "bottle": "bottles",
    "pg": "proof gallons",
}
_CENT = Decimal("0.01")


def to_hundredths(value: Decimal | int | str) -> int:
    """*value* in whole hundredths, half up: ``to_hundredths("41.445") == 4145``."""
    number = Decimal(value)
    if not number.is_finite() or abs(number) * 100 > LIMIT:
        raise BadFact("That quantity is too large for the book.")
    return int((number * 100).quantize(Decimal(1), ROUND_HALF_UP))


def to_decimal(hundredths: int) -> Decimal:
    """The book's integer as a Decimal with two places: ``to_decimal(4145) == Decimal("41.45")``."""
    return (Decimal(hundredths) / 100).quantize(_CENT)


def amount_to_book(value: Decimal | int | str, unit: str) -> int:
    """An amount in its lot's *unit* as the book keeps it: a count for things, else hundredths."""
    if unit not in COUNTED:
        return to_hundredths(value)
    number = Decimal(value)
    if number != number.to_integral_value():
        raise BadFact(f"Give a whole number of {UNITS[unit]}, like 12.")
    return int(number)


def amount_from_book(amount: int, unit: str) -> Decimal:
    """The book's *amount* in *unit* as a Decimal."""
    return Decimal(amount) if unit in COUNTED else to_decimal(amount)
