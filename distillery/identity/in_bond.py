"""Bottled in bond: 27 CFR 5.88, and the distilling seasons of 27 CFR 5.1."""

from datetime import date
from decimal import Decimal

from distillery.identity.made import Made

PROOF, IN_WOOD = Decimal(100), (4, 0, 0)


def distilling_season(day: date) -> str:
    """``spring 2026`` from 1 January to 30 June, ``fall 2026`` for the rest of the year."""
    return f"{'spring' if day.month <= 6 else 'fall'} {day.year}"


def in_bond_findings(made: Made) -> list[str]:
    """Why *made* may not be labeled bottled in bond; empty when nothing known stands against it.

    One distiller and distillery, one season, 4 years in wood, bottled at 100 proof, water only.
    """
    found = []
    if made.distillers is not None and made.distillers != 1:
        found.append("It is of more than one distiller.")
    if len({distilling_season(day) for day in made.distilled_on}) > 1:
        found.append("It is of more than one distilling season.")
    if made.oak is not None and made.oak < IN_WOOD:
        found.append("It lay less than 4 years in wood.")
    if made.bottled_proof is not None and made.bottled_proof != PROOF:
        found.append("It is bottled at 100 proof exactly.")
    if made.added:
        found.append("Only water may be added.")
    return [f"{text} (27 CFR 5.88)" for text in found]
