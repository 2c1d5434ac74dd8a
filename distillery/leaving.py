"""Barrels that leave full: the book empties them, the plant's list still has them."""

from collections.abc import Iterable

from distillery.drawing import Draw
from ledger.models import Vessel


def barrels_along(draws: Iterable[Draw]) -> list[str]:
    """A line that says which whole barrels go along with their spirits; none for no barrel."""
    codes = [
        one.held.vessel.code for one in draws
        if one.is_whole and one.held.vessel.kind == Vessel.Kind.BARREL
    ]  # fmt: skip
    if not codes:
        return []
    return [f"Where the wood goes along, say so under “Care for barrels”: {', '.join(codes)}."]
