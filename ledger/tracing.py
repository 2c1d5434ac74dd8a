"""The trace: every lot that one came from, or that came of it, with its share.

One recursive query over Descent finds the lots each way; a lot comes only from older ones, so
one pass in the order of ids gives all shares (ledger/shares.py says how a part is weighed). What
was taken back is no kin: its sums are nothing.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import cached_property
from heapq import heappop, heappush
from typing import Any

from ledger.kindred import Direction, Kindred, everyone
from ledger.models import Lot
from ledger.shares import NOTHING, ONE, LotWords, quantity_of

SHOWN_FROM = Decimal("0.001")  # the least share that a list shows unasked: a tenth of a per cent
# After hundreds of rounds of feints a part has more zeros than the book has figures.
NEGLIGIBLE = Decimal("1E-12")


@dataclass(frozen=True, slots=True)
class Kin:
    """One lot of a trace.

    ``share``, 0 to 1: back, the part of the traced lot that came from it; forward, the part of
    it that came from the traced lot. ``quantity``, hundredths or a count in its own measure:
    back, what of it went into the traced lot; forward, what in it came from the traced lot.
    ``is_packing``: goods are packed with it (back), or are packed with the traced lot (forward).
    """

    lot: LotWords
    share: Decimal
    quantity: int
    is_packing: bool = False


@dataclass(frozen=True, slots=True)
class Link:
    """One descent of a trace, and the part of the child that the parent is."""

    parent: int
    child: int
    part: Decimal


@dataclass(frozen=True)
class Trace:
    """The kin of *start* one way; ``weighty`` has every lot whose share is worth a figure."""

    start: LotWords
    direction: Direction
    weighty: tuple[Kin, ...]
    links: tuple[Link, ...]
    _rows: list[tuple[Any, ...]]

    @property
    def count(self) -> int:
        """How many lots there are, whatever their share."""
        return len(self._rows) - 1

    @cached_property
    def kin(self) -> tuple[Kin, ...]:
        """All of them, largest share first, the younger first among equals."""
        told = {one.lot.pk for one in self.weighty} | {self.start.pk}
        rest = sorted((row for row in self._rows if row[0] not in told), reverse=True)
        return (*self.weighty, *(Kin(LotWords(*row), NOTHING, 0) for row in rest))

    def shown(self, *, least: Decimal = SHOWN_FROM) -> tuple[Kin, ...]:
        """The kin whose share is at least *least*."""
        if not least:
            return self.kin
        return tuple(one for one in self.weighty if one.share >= least)


def words_of(lot: Lot) -> LotWords:
    """What a trace tells of *lot*."""
    return LotWords(lot.pk, lot.code, lot.stage, lot.unit, lot.name, lot.product)


def trace(lot: Lot, direction: Direction) -> Trace:
    """Every lot that *lot* came from ("back") or that came of it ("forward")."""
    way = (_Back if direction == "back" else _Forward)(words_of(lot), Kindred(direction))
    way.walk()
    kindred = way.kindred
    rows: list[Any] = (
        [kindred.lots[pk] for pk in kindred.met]
        if kindred.is_whole
        else everyone(lot.pk, direction)
    )
    return Trace(way.start, direction, way.ordered(), tuple(way.links), rows)


class _Pass:
    """One pass over the lots in the order of their ids, while their shares are worth telling."""

    def __init__(self, start: LotWords, kindred: Kindred) -> None:
        self.start, self.kindred = start, kindred
        self.share = {start.pk: ONE}
        self.quantity: dict[int, Decimal] = {}
        self.packing: set[int] = set()
        self.links: list[Link] = []

    def ordered(self) -> tuple[Kin, ...]:
        """The lots met, largest share first, the younger first among equals."""
        found = [
            Kin(
                self.kindred.lots[pk], min(ONE, share),
                int(self.quantity.get(pk, NOTHING).to_integral_value(ROUND_HALF_UP)),
                pk in self.packing,
            )
            for pk, share in self.share.items()
            if pk != self.start.pk
        ]  # fmt: skip
        return tuple(sorted(found, key=lambda one: (-one.share, -one.lot.pk)))


class _Back(_Pass):
    """From the youngest to the oldest: all children of a lot come before it."""

    def walk(self) -> None:
        """Weigh each lot met and hand its share on to its parents."""
        self.waiting = [-self.start.pk]
        while self.waiting:
            child = -heappop(self.waiting)
            if self.share[child] >= NEGLIGIBLE:
                self.kindred.read(child, (-pk for pk in self.waiting))
                self.hand_on(child)

    def hand_on(self, child: int) -> None:
        """The parts of the parents of *child*, and what of each went on its way to the start."""
        parts, inflow = self.kindred.weighed(child)
        gone = ONE
        if child != self.start.pk and inflow:
            gone = min(ONE, self.quantity[child] / inflow)
        is_finished = self.kindred.lots[child].is_finished
        for pair, part in zip(self.kindred.pairs[child], parts, strict=True):
            pk = pair.parent.pk
            if pk not in self.share:
                self.share[pk] = self.quantity[pk] = NOTHING
                heappush(self.waiting, -pk)
            self.share[pk] += self.share[child] * part
            self.quantity[pk] += max(quantity_of(pair), 0) * gone
            self.links.append(Link(pk, child, part))
            if is_finished and pair.parent.stage == "material":
                self.packing.add(pk)


class _Forward(_Pass):
    """From the oldest to the youngest: all parents of a lot come before it."""

    def walk(self) -> None:
        """Gather each lot's share from its parents, and go on to its children."""
        waiting, seen = [self.start.pk], {self.start.pk}
        while waiting:
            pk = heappop(waiting)
            if pk != self.start.pk:
                self.gather(pk)
            if self.share[pk] < NEGLIGIBLE:
                continue
            self.kindred.read(pk, waiting)
            for child in self.kindred.children.get(pk, ()):
                if child not in seen:
                    seen.add(child)
                    heappush(waiting, child)

    def gather(self, child: int) -> None:
        """The share of *child*: the parts of its parents times what they have."""
        pairs = self.kindred.pairs[child]
        parts, inflow = self.kindred.weighed(child)
        total = NOTHING
        for pair, part in zip(pairs, parts, strict=True):
            own = self.share.get(pair.parent.pk)
            if own is not None:
                total += own * part
                self.links.append(Link(pair.parent.pk, child, part))
        self.share[child] = total
        self.quantity[child] = min(ONE, total) * inflow
        is_direct = any(pair.parent.pk == self.start.pk for pair in pairs)
        if is_direct and self.start.stage == "material" and self.kindred.lots[child].is_finished:
            self.packing.add(child)
