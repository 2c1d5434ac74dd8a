"""Spirits by room beside the limits that the plant posted there: two figures, never a verdict.

The gallons are the book's. A limit counts what its own paper says, by rules that are not here,
so nothing is compared.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from distillery.models import RoomLimit
from distillery.pages.people import member_for
from distillery.pages.standing import held_now
from distillery.safety import WHO_DECIDES
from ledger.looking import Held
from ledger.models import Premises, Vessel
from ledger.plan import Plan

# The columns of the table, and the kinds of vessel that each adds up.
BARRELS, BOTTLES = {Vessel.Kind.BARREL}, {Vessel.Kind.STORE}


@dataclass(slots=True)
class Room:
    """A room: hundredths of a wine gallon of spirits in it by the book, and its posted limits."""

    name: str
    in_tanks: int = 0
    in_barrels: int = 0
    in_bottles: int = 0
    limits: list[RoomLimit] = field(default_factory=list)

    @property
    def gallons(self) -> tuple[int, ...]:
        """In tanks and stills, in barrels, in bottles, and all together."""
        parts = (self.in_tanks, self.in_barrels, self.in_bottles)
        return (*parts, sum(parts))

    def add(self, held: Held) -> None:
        """Count *held*, if the book knows its proof gallons: wash and grain are no spirits."""
        if not held.proof_gallons:
            return
        if held.vessel.kind in BARRELS:
            self.in_barrels += held.wine_gallons
        elif held.vessel.kind in BOTTLES:
            self.in_bottles += held.wine_gallons
        else:
            self.in_tanks += held.wine_gallons


def rooms_of(premises: Premises) -> list[Room]:
    """Every room that holds spirits or has a limit, by name; the room without a name last."""
    found: dict[str, Room] = {}
    for limit in RoomLimit.objects.filter(premises=premises):
        _room(found, limit.room).limits.append(limit)
    for held in held_now(premises).values():
        for one in held:
            if one.proof_gallons:
                _room(found, _name(one.vessel)).add(one)
    return sorted(found.values(), key=lambda one: (not one.name, one.name.casefold()))


def _room(found: dict[str, Room], name: str) -> Room:
    """The room of *name*, however it is written."""
    key = " ".join(name.split())
    return found.setdefault(key.casefold(), Room(key))


def _name(vessel: Vessel) -> str:
    """The room of *vessel*: of a place like ``Rickhouse, rack 1, tier 2`` what comes first."""
    sheet = getattr(vessel, "sheet", None)
    return sheet.room.partition(",")[0] if sheet else ""


def posted_where(plan: Plan, premises: Premises) -> Sequence[RoomLimit]:
    """The limits posted in the rooms that *plan* brings spirits into."""
    into = {leg.to.vessel for leg in plan.legs if leg.to.vessel and leg.proof_gallons > 0}
    limits: dict[str, list[RoomLimit]] = defaultdict(list)
    for one in RoomLimit.objects.filter(premises=premises) if into else []:
        limits[" ".join(one.room.split()).casefold()].append(one)
    if not limits:
        return []
    rows = Vessel.objects.filter(premises=premises, code__in=into).select_related("sheet")
    names = {" ".join(_name(one).split()).casefold() for one in rows}
    return [one for name in sorted(names) for one in limits.get(name, [])]


@require_safe
def rooms(request: HttpRequest) -> HttpResponse:
    """The table of rooms."""
    found = rooms_of(member_for(request).premises)
    return render(request, "things/rooms.html", {"rooms": found, "who_decides": WHO_DECIDES})
