"""No holding is ever negative: not now, and not at any past moment of a late record."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime

from django.db.models import Q

from ledger.models import Holding, Movement
from ledger.plan import Place, Shortage
from ledger.quantities import amount_from_book, to_decimal

Key = tuple[str, str, str]
Sums = list[int]


def lowest_after(
    holding: Holding, happened_at: datetime, lot_id: int, vessel_id: int
) -> tuple[Sums, datetime | None]:
    """The least each quantity of *holding* is from *happened_at* on, and when a later act made it.

    Movements at one instant count together: an entry and what takes it back stand at the same
    instant, and what lay between them was never in the vessel.
    """
    rows = (
        Movement.objects.filter(
            Q(from_lot=lot_id, from_vessel=vessel_id, from_account=holding.account)
            | Q(to_lot=lot_id, to_vessel=vessel_id, to_account=holding.account),
            at__gt=happened_at,
        )
        .order_by("at")
        .values_list(
            "at", "from_lot", "from_vessel", "from_account", "to_lot", "to_vessel",
            "to_account", "amount", "wine_gallons", "proof_gallons",
        )
    )  # fmt: skip
    steps: dict[datetime, Sums] = {}
    here = (lot_id, vessel_id, holding.account)
    for at, *sides, amount, wine, proof in rows:
        sums = steps.setdefault(at, [0, 0, 0])
        sign = (tuple(sides[3:]) == here) - (tuple(sides[:3]) == here)
        for place, value in enumerate((amount, wine, proof)):
            sums[place] += sign * value
    level = [holding.amount, holding.wine_gallons, holding.proof_gallons]
    for sums in steps.values():
        level = [now - later for now, later in zip(level, sums, strict=True)]
    lowest, when = list(level), None
    for at, sums in steps.items():
        level = [now + later for now, later in zip(level, sums, strict=True)]
        if any(now < least for now, least in zip(level, lowest, strict=True)):
            when = at
        lowest = [min(pair) for pair in zip(level, lowest, strict=True)]
    return lowest, when


def _sentence(place: Place, unit: str, lacking: Sums, has: Sums, when: datetime | None) -> str:
    """What a person reads: what it holds, what was asked, how much is lacking."""
    words = []
    for name, lack, have in zip((unit, "WG", "PG"), lacking, has, strict=True):
        if lack:
            show = (lambda n: amount_from_book(n, unit)) if name == unit else to_decimal
            words.append(f"{show(have)} {name}, {show(lack)} {name} less than this takes")
    late = f" by what is recorded up to {when:%d %b %Y}" if when else ""
    return f"{place.vessel} has only {'; '.join(words)}{late} (lot {place.lot})."


def shortages(
    deltas: dict[Key, Sums],
    holdings: dict[Key, Holding],
    units: dict[str, str],
    happened_at: datetime,
) -> list[Shortage]:
    """Every holding that the summed *deltas* would take below zero, with its sentence.

    *deltas* and *holdings* are keyed by (account, lot code, vessel code).
    """
    found = []
    for key, delta in deltas.items():
        if min(delta) >= 0:
            continue
        holding, when = holdings.get(key), None
        has = [0, 0, 0]
        if holding:
            has = [holding.amount, holding.wine_gallons, holding.proof_gallons]
            if happened_at < holding.last_at:
                has, when = lowest_after(holding, happened_at, holding.lot_id, holding.vessel_id)
        lacking = [max(0, -(have + change)) for have, change in zip(has, delta, strict=True)]
        if any(lacking):
            place = Place(*key)
            text = _sentence(place, units.get(place.lot, ""), lacking, has, when)
            found.append(Shortage(place, lacking[0], lacking[1], lacking[2], text))
    return found


def sum_deltas(legs: Iterable[tuple[Place, Place, int, int, int]]) -> dict[Key, Sums]:
    """Net change by (account, lot, vessel) over the sides that hold something."""
    deltas: dict[Key, Sums] = defaultdict(lambda: [0, 0, 0])
    for origin, to, *three in legs:
        for sign, place in ((-1, origin), (1, to)):
            if place.vessel:
                total = deltas[(place.account, place.lot, place.vessel)]
                for index, value in enumerate(three):
                    total[index] += sign * value
    return dict(deltas)
