"""Last values beside a form: what the book and the last reading say of the vessels it names."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from distillery.pages.sentences import figure, title_of
from distillery.pages.standing import (
    Content,
    content,
    held_now,
    most_first,
    reading_words,
    with_last_reading,
)
from distillery.shown_in import shown_in
from ledger.models import Premises, Vessel
from ledger.plan import Plan

SHOWN = 4


@dataclass(frozen=True)
class Beside:
    """One vessel of the form as it stands now."""

    vessel: Vessel
    title: str
    contents: list[Content]
    read_at: datetime | None
    reading: str


def besides_of(codes: Sequence[str], premises: Premises) -> list[Beside]:
    """The first vessels of *codes* with what they hold and their last reading."""
    if not codes:
        return []
    rows = Vessel.objects.filter(premises=premises, code__in=codes[:SHOWN])
    vessels, readings = with_last_reading(rows.select_related("sheet"))
    held = held_now(premises, vessel__in=vessels)
    shown = shown_in(premises)
    found = {}
    for vessel in vessels:
        last = readings.get(vessel.pk)
        found[vessel.code] = Beside(
            vessel, title_of(vessel), [content(one) for one in most_first(held[vessel.pk])],
            last.at if last else None, reading_words(last, shown) if last else "",
        )  # fmt: skip
    return [found[code] for code in codes[:SHOWN] if code in found]


def room_words(plan: Plan, premises: Premises) -> tuple[list[str], list[str]]:
    """(room left, too much) in words for every vessel of known size that *plan* pours into."""
    moved: dict[str, int] = defaultdict(int)
    into = set()
    for leg in plan.legs:
        if leg.origin.vessel:
            moved[leg.origin.vessel] -= leg.wine_gallons
        if leg.to.vessel and leg.wine_gallons > 0:
            moved[leg.to.vessel] += leg.wine_gallons
            into.add(leg.to.vessel)
    rows = Vessel.objects.filter(premises=premises, code__in=into, sheet__capacity_gal__gt=0)
    vessels = list(rows.select_related("sheet").order_by("code")) if into else []
    held = held_now(premises, vessel__in=vessels) if vessels else {}
    room, over = [], []
    for vessel in vessels:
        now = sum(one.wine_gallons for one in held.get(vessel.pk, []))
        after = Decimal(now + moved[vessel.code]) / 100
        left = (vessel.sheet.capacity_gal or Decimal(0)) - after
        if left < 0:
            over.append(f"{vessel.code}: {figure(-left)} gal more than it holds.")
        elif vessel.kind != Vessel.Kind.BARREL:
            room.append(f"{vessel.code}: {figure(after)} gal afterwards, room for {figure(left)}.")
    return room, over
