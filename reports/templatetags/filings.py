"""Figures as the filings show them."""

from decimal import Decimal
from fractions import Fraction

from django import template

from reports.faces import sheet

register = template.Library()


@register.filter
def figure(hundredths: int) -> str:
    """Hundredths of a gallon with two places and a true minus; zero is a dash."""
    return sheet.figure(hundredths).replace("-", "−")


@register.filter
def money(value: Decimal) -> str:
    """Proof gallons or dollars with thousands parted: ``1,250.50``."""
    return sheet.amount(value).replace("-", "−")


@register.filter
def signed(hundredths: int) -> str:
    """A difference with its sign: ``+0.10``, ``−0.10``."""
    return ("+" if hundredths > 0 else "") + sheet.figure(hundredths).replace("-", "−")


@register.filter
def per_cent(value: Fraction) -> str:
    """A share of a hundred with two places."""
    return f"{float(value):.2f}"
