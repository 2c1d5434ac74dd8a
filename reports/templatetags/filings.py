"""Figures as the filings show them."""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django import template

from reports.content_credits import UNCONFIRMED
from reports.faces import sheet
from reports.tax import Document, credited_shares

register = template.Library()


@register.filter
def figure(hundredths: int) -> str:
    """Hundredths of a gallon with two places and a true minus; zero is a dash."""
    return sheet.figure(hundredths).replace("-", "−")


@register.inclusion_tag("reports/credited.html")
def credits_of(documents: Iterable[Document]) -> dict[str, Any]:
    """Which lots got a credit for wine and flavor content; nothing where none did."""
    return {"credited": credited_shares(documents), "unconfirmed": UNCONFIRMED}


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
