"""What the database tells of a trace: every lot of it, and the pairs that shares are worked from.

After years of feints nearly all lots of a trace carry no weight. So the whole set is one
recursive query of lots alone, and the pairs are read only where a share is still worth telling,
some generations at a time.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache
from typing import Any, Literal

from django.db import connection

from ledger.models import Descent
from ledger.shares import Fresh, LotWords, Pair, Weighed, weigh

Direction = Literal["back", "forward"]
GENERATIONS = 12  # read at a time
AT_ONCE = 200  # lots asked about in one statement; SQLite takes 999 variables
NEW_IN_WASH = "'mashed', 'water', 'supplier'"

_SIDES = {"back": ("parent_id", "child_id"), "forward": ("child_id", "parent_id")}
# What was taken back sums to nothing and is no kin. CROSS JOIN keeps SQLite from turning the
# join round, and the words about the other table keep it from building a filter over all pairs
# first: either costs a hundred times the trace of a young bottle.
_LIVE = "(d.amount <> 0 OR d.wine_gallons <> 0 OR d.proof_gallons <> 0 OR {of}.id IS NULL)"

_EVERYONE = """
WITH RECURSIVE kin(id) AS (
  SELECT CAST(%s AS bigint)
  UNION
  SELECT d.{far} FROM kin CROSS JOIN ledger_descent d WHERE d.{near} = kin.id AND {live}
)
SELECT l.id, l.code, l.stage, l.unit, l.name, l.product
FROM kin CROSS JOIN ledger_lot l WHERE l.id = kin.id
"""

_PAIRS = """
WITH RECURSIVE near(id, generation) AS (
  SELECT CAST(column1 AS bigint), 0 FROM (VALUES {roots}) r
  UNION
  SELECT d.{far}, near.generation + 1 FROM near CROSS JOIN ledger_descent d
  WHERE d.{near} = near.id AND near.generation < {generations} AND {live}
), kin(id, generation) AS (
  SELECT id, MIN(generation) FROM near GROUP BY id
)
SELECT kin.id, kin.generation, c.code, c.stage, c.unit, c.name, c.product,
       d.amount, d.wine_gallons, d.proof_gallons, p.id, p.code, p.stage, p.unit, p.name, p.product
FROM kin
JOIN ledger_lot c ON c.id = kin.id
LEFT JOIN ledger_descent d ON d.child_id = kin.id AND {live_pair}
LEFT JOIN ledger_lot p ON p.id = d.parent_id
"""

_FRESH = """
SELECT from_lot_id, 0, SUM(proof_gallons) FROM ledger_movement
WHERE from_lot_id IN ({marks}) AND from_account = 'distilled' GROUP BY from_lot_id
UNION ALL
SELECT to_lot_id, 1, SUM(proof_gallons) FROM ledger_movement
WHERE to_lot_id IN ({marks}) AND to_account = 'distilled' GROUP BY to_lot_id
UNION ALL
SELECT to_lot_id, 2, SUM(wine_gallons) FROM ledger_movement
WHERE to_lot_id IN ({marks}) AND from_account IN ({new}) GROUP BY to_lot_id
"""


@cache
def _everyone_sql(direction: Direction) -> str:
    far, near = _SIDES[direction]
    return _EVERYONE.format(far=far, near=near, live=_LIVE.format(of="kin"))


@cache
def _pairs_sql(direction: Direction, roots: int) -> str:
    far, near = _SIDES[direction]
    return _PAIRS.format(
        far=far, near=near, live=_LIVE.format(of="near"), live_pair=_LIVE.format(of="kin"),
        roots=", ".join(["(%s)"] * roots), generations=GENERATIONS,
    )  # fmt: skip


def _rows(sql: str, values: Iterable[int]) -> list[Any]:
    with connection.cursor() as cursor:
        cursor.execute(sql, list(values))
        found: list[Any] = cursor.fetchall()
    return found


def everyone(lot: int, direction: Direction) -> list[tuple[Any, ...]]:
    """The words of *lot* and of all its kin one way, as bare rows: see LotWords."""
    return _rows(_everyone_sql(direction), [lot])


@dataclass
class Kindred:
    """The pairs of one trace as far as they have been read."""

    direction: Direction
    lots: dict[int, LotWords] = field(default_factory=dict)
    pairs: dict[int, list[Pair]] = field(default_factory=dict)
    children: dict[int, list[int]] = field(default_factory=lambda: defaultdict(list))
    met: set[int] = field(default_factory=set)
    is_whole: bool = True  # whether ``met`` is every lot of the trace
    _read: set[int] = field(default_factory=set)
    _fresh: dict[int, Fresh] = field(default_factory=dict)
    _backset: set[int] = field(default_factory=set)

    def read(self, pk: int, pending: Iterable[int]) -> None:
        """Read on from lot *pk*, unless that is done, and from the *pending* ones with it."""
        if pk in self._read:
            return
        roots = [pk, *(one for one in pending if one not in self._read)][:AT_ONCE]
        new = self._take(_rows(_pairs_sql(self.direction, len(roots)), roots))
        if self.direction == "forward":
            new = [one for one in new if one != pk]  # nobody asks what the start came from
        self._ask_fresh([one for one in new if self.lots[one].stage in ("run", "wash")])
        self._ask_backset(new)

    def weighed(self, pk: int) -> Weighed:
        """The parts of the parents of lot *pk*, which has been read."""
        fresh = self._fresh.get(pk, Fresh())
        return weigh(self.lots[pk], self.pairs.get(pk, []), fresh, self._backset)

    def _take(self, rows: list[Any]) -> list[int]:
        found: dict[int, list[Pair]] = {}
        for pk, generation, *words in rows:
            self.met.add(pk)
            if generation == GENERATIONS:
                self.is_whole = False
            if self.direction == "back" or generation < GENERATIONS:
                self._read.add(pk)
            if pk in self.pairs:
                continue
            pairs = found.setdefault(pk, [])
            if pk not in self.lots:
                self.lots[pk] = LotWords(pk, *words[:5])
            if words[8] is not None:
                parent = self.lots.get(words[8]) or LotWords(*words[8:])
                self.lots[parent.pk] = parent
                pairs.append(Pair(parent, *words[5:8]))
                self.children[parent.pk].append(pk)
        self.pairs |= found
        return list(found)

    def _ask_fresh(self, lots: list[int]) -> None:
        for start in range(0, len(lots), AT_ONCE):
            part = lots[start : start + AT_ONCE]
            sql = _FRESH.format(marks=", ".join(["%s"] * len(part)), new=NEW_IN_WASH)
            sums: dict[int, list[int]] = {pk: [0, 0, 0] for pk in part}
            for pk, which, total in _rows(sql, part * 3):
                sums[pk][which] = int(total)
            for pk, (over, back, mashed) in sums.items():
                self._fresh[pk] = Fresh(mashed, over - back)

    def _ask_backset(self, lots: list[int]) -> None:
        """Liquid materials that are stillage of a run."""
        liquid = {
            pair.parent.pk
            for pk in lots
            if self.lots[pk].stage == "wash"
            for pair in self.pairs[pk]
            if pair.parent.stage == "material" and pair.parent.unit == "gal"
        }
        if liquid:
            rows = Descent.objects.filter(child__in=liquid, parent__stage="run")
            self._backset.update(rows.values_list("child", flat=True))
