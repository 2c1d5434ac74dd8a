"""Why an entry cannot be taken back or mended where it stands: what later entries used of it."""

from collections.abc import Iterable

from django.db.models import Q

from ledger.errors import BadFact, Short
from ledger.looking import Look
from ledger.models import Entry, Movement
from ledger.plan import Plan, Shortage
from ledger.posting import settle

TOLD = 5


def later_numbers(entry: Entry, shortages: Iterable[Shortage]) -> list[int]:
    """Numbers of the entries after *entry* that took from the places that would run short."""
    taken = Q(pk=None)
    less = Q(amount__lt=0) | Q(wine_gallons__lt=0) | Q(proof_gallons__lt=0)
    for item in shortages:
        place = item.place
        taken |= Q(
            from_account=place.account, from_lot__code=place.lot, from_vessel__code=place.vessel
        )
        # A correction downwards of what came there takes too.
        taken |= less & Q(
            to_account=place.account, to_lot__code=place.lot, to_vessel__code=place.vessel
        )
    rows = Movement.objects.filter(taken, entry__premises=entry.premises)
    later = rows.filter(entry__number__gt=entry.number).order_by("entry__number")
    return list(later.values_list("entry__number", flat=True).distinct())


def told_numbers(entry: Entry, shortages: Iterable[Shortage]) -> str:
    """A sentence that names the first of those entries; "" when there are none."""
    numbers = [str(number) for number in later_numbers(entry, shortages)]
    told = ", ".join(numbers[:TOLD]) + (" and more" if len(numbers) > TOLD else "")
    return f" Later entries took from there: {told}." if numbers else ""


def refuse_if_used(plan: Plan, entry: Entry, look: Look, *, way_round: str) -> None:
    """Raises BadFact that names what stands in the way when *plan* would leave a place short.

    Taking back is no act of the plant, so a shortage here is not a discovery to book as a gain.
    """
    try:
        settle(plan, look, accept_shortage=False)
    except Short as short:
        by = told_numbers(entry, short.shortages)
        raise BadFact(f"{short}{by} {way_round}", field="entry") from short
