"""The floor: every vessel with what is in it, where it stands, and what is next."""

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from distillery.check_due import checks_due
from distillery.instruments import due, due_words
from distillery.models import Membership, Reading
from distillery.operations.base import Operation
from distillery.pages.floor_items import item_of, item_of_rack
from distillery.pages.floor_picture import Item, pictures
from distillery.pages.hands import Hand, Seen, hands
from distillery.pages.people import member_for, operations_for
from distillery.pages.racks import Rack, racks_of
from distillery.pages.standing import (
    Content,
    acts_at,
    content,
    held_now,
    most_first,
    reading_words,
    with_last_reading,
)
from distillery.remarks import State, states_of
from distillery.shown_in import ShownIn, shown_in
from ledger.looking import Held
from ledger.models import Premises, Vessel

ROOMS_OF_KINDS = {
    "bin": "Bins and shelves", "tun": "Mash tuns", "fermenter": "Fermenters", "still": "Stills",
    "receiver": "Receivers", "tank": "Tanks", "tote": "Totes",
    "bottling_tank": "Bottling", "store": "Case stores",
}  # fmt: skip
SHOWN = 2  # acts that stand on the card itself; the others unfold


@dataclass(frozen=True)
class Card:
    """One vessel on the floor. ``level`` is how full it is in percent, if its size is known."""

    vessel: Vessel
    contents: list[Content]
    level: int | None
    read_at: datetime | None
    reading: str
    acts: list[Operation]
    state: State | None = None

    @property
    def first_acts(self) -> list[Operation]:
        """What the card offers at once: nothing at an empty vessel, which takes less room so."""
        return self.acts[:SHOWN] if self.contents else []

    @property
    def more_acts(self) -> list[Operation]:
        """What unfolds."""
        return self.acts[len(self.first_acts) :]


@require_safe
def floor(request: HttpRequest) -> HttpResponse:
    """The plan of the plant, by room or kind, and the barrels by lot."""
    member = member_for(request)
    rows = Vessel.objects.filter(premises=member.premises).select_related("sheet", "barrel")
    vessels, readings = with_last_reading(rows.order_by("sheet__order", "code"))
    held = held_now(member.premises)
    offered = offered_to(member)
    shown = shown_in(member.premises)
    states = states_of(held, member.premises)
    now = timezone.now()
    bottlings = checks_due(member.premises, now)
    open_in = {one.run.vessel_id: one for one in bottlings}
    rooms: dict[str, list[Card]] = defaultdict(list)
    for vessel in vessels:
        if vessel.kind != Vessel.Kind.BARREL:
            state = states.get(vessel.pk)
            acts = acts_at(
                vessel, held[vessel.pk], offered, bottling=open_in.get(vessel.pk), state=state
            )
            card = card_of(vessel, held[vessel.pk], readings.get(vessel.pk), shown, acts)
            rooms[room_of(vessel)].append(replace(card, state=state))
    barrels = [one for one in vessels if one.kind == Vessel.Kind.BARREL]
    racks = racks_of(barrels, held)
    seen = [Seen(one, held[one.pk], readings.get(one.pk), states.get(one.pk)) for one in vessels]
    waiting = hands(seen, bottlings, member.premises, now)
    return render(
        request,
        "floor/floor.html",
        {
            "rooms": dict(rooms), "racks": racks, "barrels": len(barrels),
            "tests": tests_due(member.premises), "bottlings": bottlings, "hands": waiting,
            "pictures": pictures(drawn(rooms, readings, racks, waiting, shown)),
        },
    )  # fmt: skip


def drawn(
    rooms: dict[str, list[Card]],
    readings: dict[int, Reading],
    racks: list[Rack],
    waiting: list[Hand],
    shown: ShownIn,
) -> dict[str, list[Item]]:
    """The floor for its drawing: the rooms, and the barrels as racks in one more."""
    waits = {one.where: one.words for one in reversed(waiting) if one.is_due}
    found = {
        room: [
            item_of(
                card.vessel, card.contents, level=card.level, state=card.state,
                last=readings.get(card.vessel.pk), waits=waits, shown=shown,
            )
            for card in cards
        ]
        for room, cards in rooms.items()
    }  # fmt: skip
    return found | ({"Barrels": [item_of_rack(rack) for rack in racks]} if racks else {})


def tests_due(premises: Premises) -> list[str]:
    """Which instruments want a test soon or wanted it already, a sentence each."""
    today = timezone.localdate(timezone=premises.zone)
    return [due_words(one) for one in due(premises, today)]


def offered_to(member: Membership) -> list[Operation]:
    """The operations this person records, of those that belong to a kind of vessel."""
    return [one for one in operations_for(member) if one.kinds]


def card_of(
    vessel: Vessel,
    held: list[Held],
    reading: Reading | None,
    shown: ShownIn,
    acts: list[Operation],
) -> Card:
    """What the floor shows of one vessel; figures in the plant's units."""
    return Card(
        vessel, [content(one) for one in most_first(held)], level_of(vessel, held),
        reading.at if reading else None, reading_words(reading, shown) if reading else "",
        acts,
    )  # fmt: skip


def level_of(vessel: Vessel, held: list[Held]) -> int | None:
    """How full: 0 to 100 of its size; None when the plant's list has no size for it."""
    sheet = getattr(vessel, "sheet", None)
    size = sheet.capacity_gal if sheet else None
    if not size:
        return None
    gallons = Decimal(sum(one.wine_gallons for one in held)) / 100
    return min(100, int(gallons * 100 / size))


def room_of(vessel: Vessel) -> str:
    """Where it stands: its room, else the place of its kind."""
    sheet = getattr(vessel, "sheet", None)
    return (sheet.room if sheet else "") or ROOMS_OF_KINDS.get(vessel.kind, "Elsewhere")
