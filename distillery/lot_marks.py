"""Marks that go with spirits to the heads of their packages: OC and BSA (27 CFR 19.484)."""

from distillery.models import LotMark
from ledger.models import Descent, Lot
from ledger.models.book import LIVE

STAGES = ("spirits", "batch")  # before the production gauge nothing bears a mark


def lots_behind(lot: Lot) -> set[int]:
    """The row numbers of *lot* and of all gauged spirits that went into it."""
    seen, frontier = {lot.pk}, {lot.pk}
    while frontier:
        rows = Descent.objects.filter(LIVE, child__in=frontier, parent__stage__in=STAGES)
        frontier = set(rows.values_list("parent", flat=True)) - seen
        seen |= frontier
    return seen


def marks_of(lot: Lot) -> list[str]:
    """The marks of *lot* and of all that went into it, in the law's order: ``["OC", "BSA"]``."""
    rows = LotMark.objects.filter(lot__in=lots_behind(lot), is_void=False)
    found = set(rows.values_list("mark", flat=True))
    return [mark for mark in ("OC", "BSA") if mark in found]
