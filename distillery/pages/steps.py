"""A long form as a few cards, one at a time; a short one stays one card."""

from collections.abc import Iterable
from dataclasses import dataclass

from distillery.pages.sheet import Box

LONG = 24  # boxes to look through; below that one card is quicker than pages (our own figure)
IN_A_CARD = 6
PARTS = frozenset({"part", "rows"})
LAST = frozenset({"at", "note"})  # every form ends with them


@dataclass(frozen=True)
class Step:
    """One card: its boxes, and the words that say what it is about."""

    boxes: list[Box]

    @property
    def title(self) -> str:
        """The label of its largest box; the last card of every form is about when."""
        return "When" if self.boxes[0].name in LAST else max(self.boxes, key=_weight).label


def steps_of(boxes: Iterable[Box]) -> list[Step]:
    """The cards of a form in the order of its boxes; one when it is short."""
    known = list(boxes)
    if sum(map(_weight, known)) <= LONG:
        return [Step(known)]
    cards: list[list[Box]] = []
    for box in known:
        if not cards or _opens(box, cards[-1]):
            cards.append([])
        cards[-1].append(box)
    return [Step(card) for card in cards]


def _weight(box: Box) -> int:
    """How much there is to look through: what is folded away counts for nothing."""
    if box.kind not in PARTS:
        return 1
    return sum(len(group.boxes) for row in box.rows for group in row if not group.is_folded)


def _opens(box: Box, card: list[Box]) -> bool:
    """Whether *box* begins a new card; one small box alone, like the tank, takes the next along."""
    if box.name in LAST or card[0].name in LAST:
        return card[0].name not in LAST
    if len(card) == 1 and _weight(card[0]) == 1:
        return False
    tall = _weight(box) > IN_A_CARD / 2
    return tall or sum(map(_weight, card)) + _weight(box) > IN_A_CARD
