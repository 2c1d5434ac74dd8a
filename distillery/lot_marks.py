"""Marks that go with spirits to the heads of their packages: OC and BSA (27 CFR 19.484)."""

from distillery.models import LotMark
from ledger.models import Descent, Lot
from ledger.models.book import LIVE

STAGES = ("spirits", "batch")  # before the production gauge nothing bears a mark


def marks_of(lot: Lot) -> list[str]:
    """The marks of *lot* and of all that went into it, in the law's order: ``["OC", "BSA"]``."""
    seen, frontier = {lot.pk}, {lot.pk}
    while frontier:
        rows = Descent.objects.filter(LIVE, child__in=frontier, parent__stage__in=STAGES)
        frontier = set(rows.values_list("parent", flat=True)) - seen
        seen |= frontier
    found = set(LotMark.objects.filter(lot__in=seen, is_void=False).values_list("mark", flat=True))
    return [mark for mark in ("OC", "BSA") if mark in found]
