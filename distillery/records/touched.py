"""Everything that moved a set of lots up to the end of a span: a batch, a run, whole."""

from collections import defaultdict
from collections.abc import Iterable

from django.db.models import Q

from distillery.records.span import ENTRY, LOTS, VESSELS, Span
from ledger.models import Lot, Movement


def lots_touched(span: Span, *stages: str) -> dict[int, Lot]:
    """Lots of these stages that moved in the span, in the order in which they first did."""
    found: dict[int, Lot] = {}
    for row in span.movements:
        for lot in (row.from_lot, row.to_lot):
            if lot is not None and lot.stage in stages:
                found.setdefault(lot.pk, lot)
    return found


def lots_in(span: Span, account: str, *, apart: tuple[str, ...]) -> dict[int, Lot]:
    """Lots that moved in *account* in the span, those of the stages *apart* left out."""
    found: dict[int, Lot] = {}
    for row in span.movements:
        for code, lot in ((row.from_account, row.from_lot), (row.to_account, row.to_lot)):
            if code == account and lot is not None and lot.stage not in apart:
                found.setdefault(lot.pk, lot)
    return found


def whole(span: Span, lots: Iterable[int]) -> dict[int, list[Movement]]:
    """Each lot's movements from its first to the end of the span, those between both kept twice."""
    ids = set(lots)
    rows = Movement.objects.filter(Q(from_lot__in=ids) | Q(to_lot__in=ids), at__lt=span.end)
    rows = rows.select_related("from_lot__opened_by", *ENTRY, *LOTS, *VESSELS)
    found: dict[int, list[Movement]] = defaultdict(list)
    for row in rows.order_by("at", "entry__number", "leg"):
        row.entry.premises = span.premises
        for pk in {row.from_lot_id or 0, row.to_lot_id or 0} & ids:
            found[pk].append(row)
    return found
