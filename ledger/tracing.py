"""The trace: every lot that one came from, or that came of it, with its share.

One recursive query over Descent finds the lots each way; a lot comes only from older ones, so
one pass in the order of ids gives all shares (ledger/shares.py says how a part is weighed). What
was taken back is no kin: its sums are nothing.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from django.db import connection
from django.db.models import Sum

from ledger.models import Descent, Lot, Movement
from ledger.shares import NOTHING, ONE, Fresh, LotWords, Pair, Weighed, quantity_of, weigh

Direction = Literal["back", "forward"]
SHOWN_FROM = Decimal("0.001")  # the least share that a list shows unasked: a tenth of a per cent
# After hundreds of rounds of feints a part has more zeros than the book has figures.
NEGLIGIBLE = Decimal("1E-12")
AT_ONCE = 400  # lots asked about in one statement; SQLite takes 999 variables

_LIVE = "(d.amount <> 0 OR d.wine_gallons <> 0 OR d.proof_gallons <> 0 OR kin.id IS NULL)"
# CROSS JOIN keeps SQLite from turning the join round, and the last words of _LIVE from building
# a filter over the whole table first: both cost a hundred times the trace of a young bottle.
_SQL = """
WITH RECURSIVE kin(id) AS (
  SELECT CAST(%s AS bigint)
  UNION
  SELECT d.{far} FROM kin CROSS JOIN ledger_descent d WHERE d.{near} = kin.id AND {live}
)
SELECT d.child_id, d.amount, d.wine_gallons, d.proof_gallons,
       p.id, p.code, p.stage, p.unit, p.name, p.product {more}
FROM kin CROSS JOIN ledger_descent d CROSS JOIN ledger_lot p {join}
WHERE d.child_id = kin.id AND p.id = d.parent_id AND {live} {where}
"""
BACK = _SQL.format(
    far="parent_id", near="child_id", live=_LIVE, more="", join="", where=""
)  # fmt: skip
FORWARD = _SQL.format(
    far="child_id", near="parent_id", live=_LIVE,
    more=", c.code, c.stage, c.unit, c.name, c.product",
    join="CROSS JOIN ledger_lot c", where="AND c.id = d.child_id AND kin.id <> %s",
)  # fmt: skip


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


@dataclass(frozen=True, slots=True)
class Trace:
    """All kin of *start* one way, largest share first, the younger first among equals."""

    start: LotWords
    direction: Direction
    kin: tuple[Kin, ...]
    links: tuple[Link, ...]

    def shown(self, *, least: Decimal = SHOWN_FROM) -> tuple[Kin, ...]:
        """The kin whose share is at least *least*."""
        return tuple(one for one in self.kin if one.share >= least)


@dataclass
class _Found:
    """The pairs of a trace by child, and what the pass asks of the book as it goes."""

    lots: dict[int, LotWords]
    pairs: dict[int, list[Pair]] = field(default_factory=lambda: defaultdict(list))
    fresh: dict[int, Fresh] = field(default_factory=dict)
    backset: dict[int, frozenset[int]] = field(default_factory=dict)

    def weighed(self, pk: int, waiting: Iterator[int]) -> Weighed:
        """The parts of lot *pk*; asks for a batch of what is *waiting* where it must."""
        child = self.lots[pk]
        if child.stage in ("run", "wash") and pk not in self.fresh:
            self._ask([pk, *_some(waiting, AT_ONCE)])
        fresh, backset = self.fresh.get(pk, Fresh()), self.backset.get(pk, frozenset())
        return weigh(child, self.pairs[pk], fresh, backset)

    def _ask(self, pks: list[int]) -> None:
        runs = [pk for pk in pks if self.lots[pk].stage == "run"]
        washes = [pk for pk in pks if self.lots[pk].stage == "wash"]
        over, back = _sums("from", "distilled", runs), _sums("to", "distilled", runs)
        mashed = _mashed(washes)
        for pk in pks:
            distilled = over.get(pk, 0) - back.get(pk, 0)
            self.fresh[pk] = Fresh(mashed.get(pk, 0), distilled)
        self._ask_backset(washes)

    def _ask_backset(self, washes: list[int]) -> None:
        liquid = {
            pair.parent.pk
            for pk in washes
            for pair in self.pairs[pk]
            if pair.parent.stage == "material" and pair.parent.unit == "gal"
        }
        rows = Descent.objects.filter(child__in=liquid, parent__stage="run")
        made = frozenset(rows.values_list("child", flat=True)) if liquid else frozenset()
        for pk in washes:
            self.backset[pk] = made


def _some(waiting: Iterator[int], most: int) -> list[int]:
    return [pk for _, pk in zip(range(most), waiting, strict=False)]


def _sums(side: str, account: str, lots: Iterable[int]) -> dict[int, int]:
    """Proof gallons of *lots* out of, or back into, a boundary account."""
    rows = Movement.objects.filter(**{f"{side}_lot__in": lots, f"{side}_account": account})
    grouped = rows.values_list(f"{side}_lot").annotate(Sum("proof_gallons")).order_by()
    return {int(lot): int(total) for lot, total in grouped} if lots else {}


def _mashed(washes: list[int]) -> dict[int, int]:
    """Gallons that came into *washes* from the mash tun, as water or as bought wash."""
    if not washes:
        return {}
    rows = Movement.objects.filter(
        to_lot__in=washes, from_account__in=("mashed", "water", "supplier")
    )
    grouped = rows.values_list("to_lot").annotate(Sum("wine_gallons")).order_by()
    return {int(lot): int(total) for lot, total in grouped}


def words_of(lot: Lot) -> LotWords:
    """What a trace tells of *lot*."""
    return LotWords(lot.pk, lot.code, lot.stage, lot.unit, lot.name, lot.product)


def _find(start: LotWords, direction: Direction) -> _Found:
    found = _Found({start.pk: start})
    values = [start.pk] if direction == "back" else [start.pk, start.pk]
    with connection.cursor() as cursor:
        cursor.execute(BACK if direction == "back" else FORWARD, values)
        rows = cursor.fetchall()
    lots, pairs = found.lots, found.pairs
    for child, amount, wine, proof, pk, *words in rows:
        parent = lots.get(pk)
        if parent is None:
            parent = lots[pk] = LotWords(pk, *words[:5])
        if direction == "forward" and child not in lots:
            lots[child] = LotWords(child, *words[5:])
        pairs[child].append(Pair(parent, amount, wine, proof))
    return found


def trace(lot: Lot, direction: Direction) -> Trace:
    """Every lot that *lot* came from ("back") or that came of it ("forward")."""
    start = words_of(lot)
    found = _find(start, direction)
    return _back(start, found) if direction == "back" else _forward(start, found)


def _asking(found: _Found, order: list[int]) -> Iterator[int]:
    """The runs and washes of *order* still to be asked about."""
    for pk in order:
        if pk not in found.fresh and found.lots[pk].stage in ("run", "wash"):
            yield pk


def _back(start: LotWords, found: _Found) -> Trace:
    share = {start.pk: ONE}
    used: dict[int, Decimal] = {}
    part_used = {start.pk: ONE}
    packing, links = set(), []
    order = sorted(found.pairs, reverse=True)
    waiting = _asking(found, order)
    for child in order:
        mine = share.get(child, NOTHING)
        if mine < NEGLIGIBLE:
            continue
        parts, inflow = found.weighed(child, waiting)
        gone = part_used.get(child)
        if gone is None:
            gone = min(ONE, used[child] / inflow) if inflow else ONE
        for pair, part in zip(found.pairs[child], parts, strict=True):
            pk = pair.parent.pk
            share[pk] = share.get(pk, NOTHING) + mine * part
            used[pk] = used.get(pk, NOTHING) + max(quantity_of(pair), 0) * gone
            links.append(Link(pk, child, part))
            if pair.parent.stage == "material" and found.lots[child].is_finished:
                packing.add(pk)
    return Trace(start, "back", _ordered(start, found.lots, share, used, packing), tuple(links))


def _forward(start: LotWords, found: _Found) -> Trace:
    share = {start.pk: ONE}
    carried: dict[int, Decimal] = {}
    packing, links = set(), []
    order = sorted(found.pairs)
    waiting = _asking(found, order)
    for child in order:
        mine = [share.get(pair.parent.pk, NOTHING) for pair in found.pairs[child]]
        if max(mine) < NEGLIGIBLE:
            continue
        parts, inflow = found.weighed(child, waiting)
        total = sum((own * part for own, part in zip(mine, parts, strict=True)), NOTHING)
        share[child] = total
        carried[child] = min(ONE, total) * inflow
        for pair, own, part in zip(found.pairs[child], mine, parts, strict=True):
            if own >= NEGLIGIBLE:
                links.append(Link(pair.parent.pk, child, part))
        if start.stage == "material" and found.lots[child].is_finished:
            direct = any(pair.parent.pk == start.pk for pair in found.pairs[child])
            packing |= {child} if direct else set()
    lots = {pk: found.lots[pk] for pk in order}
    kin = _ordered(start, lots, share, carried, packing)
    return Trace(start, "forward", kin, tuple(links))


def _ordered(
    start: LotWords,
    lots: dict[int, LotWords],
    share: dict[int, Decimal],
    quantity: dict[int, Decimal],
    packing: set[int],
) -> tuple[Kin, ...]:
    kin = [
        Kin(
            lot, min(ONE, share.get(pk, NOTHING)),
            int(quantity.get(pk, NOTHING).to_integral_value(ROUND_HALF_UP)), pk in packing,
        )
        for pk, lot in lots.items()
        if pk != start.pk
    ]  # fmt: skip
    kin.sort(key=lambda one: (-one.share, -one.lot.pk))
    return tuple(kin)
