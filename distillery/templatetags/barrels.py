"""The book's whole numbers in a barrel's tables."""

from django import template

from ledger.quantities import to_decimal

register = template.Library()


@register.filter
def hundredths(value: int | None) -> str:
    """Gallons to the hundredth; "" where none is known."""
    return "" if value is None else f"{to_decimal(value):,.2f}"


@register.filter
def proof(value: int | None) -> str:
    """Tenths of a degree as degrees; "" where none is known."""
    return "" if value is None else f"{value // 10}.{value % 10}"
