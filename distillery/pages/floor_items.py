"""What the drawing of the floor says of a vessel: a few short lines and one plain word of state."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from decimal import Decimal

from django.urls import reverse

from distillery.drawn_words import width_of
from distillery.models import Reading
from distillery.pages.floor_picture import ROOM, SIZE, Item
from distillery.pages.racks import Rack
from distillery.pages.sentences import title_of
from distillery.pages.standing import Content
from distillery.remarks import State
from distillery.runs import fraction_of, is_kept_back
from distillery.shown_in import ShownIn, gravity_words
from distillery.templatetags.plant import age, ago
from ledger.models import Vessel

STATES = {
    "fermenting": "Fermenting", "storage": "In store", "processing": "In process",
    "finished": "Bottled", "taxpaid": "Tax paid", "redistil": "To redistil",
    "materials": "In stock",
}  # fmt: skip
STILLS = frozenset({"production", "processing"})
FULL_SIZE = Decimal(300)  # gallons; a vessel of that size or more is drawn full size


def item_of(
    vessel: Vessel,
    contents: list[Content],
    *,
    level: int | None,
    last: Reading | None,
    state: State | None,
    waits: Mapping[str, str],
    shown: ShownIn,
) -> Item:
    """*vessel* for the drawing; *waits* are the words of what needs a hand, by vessel code."""
    first = contents[0] if contents else None
    word = _word(vessel, first, state)
    reading = last if last and first and last.at >= first.since else None
    lines = tuple(_lines(first, reading, shown.gravity)) if first else ()
    more = f" and {len(contents) - 1} more" if len(contents) > 1 else ""
    told = ". ".join(
        text for text in (
            f"{vessel.code} {title_of(vessel)}" if title_of(vessel) != vessel.code else vessel.code,
            word, f"{first}{more}" if first else "", first.strength if first else "",
            f"{level} per cent full" if level else "", waits.get(vessel.code, ""),
        ) if text
    )  # fmt: skip
    sheet = getattr(vessel, "sheet", None)
    return Item(
        vessel, vessel.kind, vessel.code, reverse("vessel", args=[vessel.code]), level,
        bool(first), lines, word, vessel.code in waits, told,
        name=first.name if first else "", size=_size(vessel),
        x=sheet.x if sheet else None, y=sheet.y if sheet else None,
    )  # fmt: skip


def _word(vessel: Vessel, first: Content | None, state: State | None) -> str:
    if first is None:
        return state.title if state else "Empty"
    if vessel.kind == Vessel.Kind.STILL and first.account_code in STILLS:
        return state.title if state else "Running"
    if first.account_code == "production":
        return kept_back_word(first.name) or "Needs gauge"
    return STATES.get(first.account_code, first.account)


def kept_back_word(name: str) -> str:
    """What feints and the like are kept for; "" for what is to be gauged as produced."""
    if not is_kept_back(name):
        return ""
    return "For disposal" if fraction_of(name) == "foreshots" else "For another run"


def _lines(first: Content, last: Reading | None, unit: str) -> Iterable[str]:
    """The figure that counts first: gravity of a wash, strength of spirits, else how much."""
    if last and last.gravity is not None and first.account_code == "fermenting":
        yield gravity_words(last.gravity, unit, places=3)
    elif first.strength:
        yield first.strength
    parts = first.quantity.split(", ")
    yield parts[-1]
    yield first.name
    if last:
        told = f"read {ago(last.at)}"
        yield told if width_of(told, SIZE) <= ROOM else f"read {_brief(last.at)}"
    else:
        yield _brief(first.since)


def _brief(since: datetime) -> str:
    """An age of one figure as everywhere; years and months short, or they would be cut."""
    told = age(since)
    if told.count(" ") < 2:
        return told
    told = told.replace("months", "mo").replace("month", "mo")
    return told.replace("years", "y").replace("year", "y")


def _size(vessel: Vessel) -> float:
    """How large its shape is drawn, 0 to 1, by the size on the plant's list."""
    sheet = getattr(vessel, "sheet", None)
    size = sheet.capacity_gal if sheet else None
    return 1.0 if size is None else float(min(size / FULL_SIZE, Decimal(1)))


def item_of_rack(rack: Rack) -> Item:
    """Barrels that hold one lot, as one rack."""
    count = f"{len(rack.barrels)} barrel{'' if len(rack.barrels) == 1 else 's'}"
    blank = Item(None, "barrel", count, reverse("barrels"), 0, False, (), "Empty", False,
                 f"{count}, empty")  # fmt: skip
    if rack.content is None:
        return blank
    first = rack.content
    lines = (first.strength, first.quantity.split(", ")[0], first.name, _brief(first.since))
    told = f"{count} of {first}, {first.strength}, {age(first.since)} in wood"
    return replace(
        blank, level=None, is_filled=True, lines=tuple(filter(None, lines)), told=told,
        state="In wood", size=0.6, name=first.name,
    )  # fmt: skip
