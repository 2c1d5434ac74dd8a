"""What part of a lot each of its parents is: the one rule of every share in a trace.

A trace multiplies these parts along its paths. By stage:

- *Materials in a mash, basket or batch* are compared only with materials counted in the same
  unit: pounds with pounds, grams with grams. Each unit's parts sum to the part that is new.
- *A mash on a heel* is divided by gallons: the heel's, and those that came from the mash tun.
- *Backset* is stillage in the mash: gallons of it over gallons of new mash. The grain has the
  rest of what is new.
- *A run* is divided by proof gallons: what spirits and feints brought, and what was newly
  distilled (27 CFR 19.585); the newly distilled is divided among the washes by their gallons. A
  run of wash alone is divided by gallons; until something has been distilled, wash beside feints
  has no part that anybody measured.
- *Everything after* is divided by proof gallons; by gallons, then counts, where there are none.
- *Bottles, closures and labels* are what a finished lot is packed with: each kind by itself.
- *What is added to spirits* (a basket, flavoring, packing) counts beside them, not among them: its
  share is the part of the lot that it touched, at most all of it.

No regulation says how to weigh a trace; 27 CFR 19.585(a)(3) asks only that spirits can be traced
back to the mash. The rule is this project's own.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence, Set
from decimal import Decimal
from typing import NamedTuple

ONE, NOTHING = Decimal(1), Decimal(0)
PACKED = ("bottled", "package")


class LotWords(NamedTuple):
    """What a trace tells of a lot without reading its row."""

    pk: int
    code: str
    stage: str
    unit: str
    name: str
    product: str

    @property
    def is_finished(self) -> bool:
        """Whether it is bottled or packaged goods."""
        return self.stage in PACKED or self.unit == "bottle"


class Pair(NamedTuple):
    """What a child had of one parent: the book's integers."""

    parent: LotWords
    amount: int
    wine_gallons: int
    proof_gallons: int


class Fresh(NamedTuple):
    """What no parent explains: gallons from the mash tun, proof gallons newly distilled."""

    mashed: int = 0
    distilled: int = 0


class Weighed(NamedTuple):
    """Parts of the parents of one lot, in the order given, and all that came into it.

    ``inflow`` is in the lot's own measure, hundredths of a gallon or proof gallon.
    """

    parts: list[Decimal]
    inflow: int


def quantity_of(pair: Pair) -> int:
    """What the parent gave, in the parent's own measure."""
    if pair.parent.stage == "material":
        return pair.amount or pair.wine_gallons
    if pair.parent.stage == "wash":
        return pair.wine_gallons
    return pair.proof_gallons or pair.wine_gallons or pair.amount


def weigh(child: LotWords, pairs: Sequence[Pair], fresh: Fresh, backset: Set[int]) -> Weighed:
    """The parts of *pairs* in *child*; *backset* are the material lots that came from a run."""
    liquids = [pair for pair in pairs if pair.parent.stage != "material"]
    if child.stage != "wash":
        backset = frozenset()  # elsewhere it is a material like any other
    weights = _liquid_weights(liquids, fresh)
    new = _clamp(fresh.mashed) if child.stage == "wash" else 0
    inflow = sum(weights.values()) + new
    part_new = Decimal(new) / inflow if new else ONE
    sums: dict[tuple[str, str], int] = defaultdict(int)
    stillage = 0
    for pair in pairs:
        if pair.parent.pk in backset:
            stillage += _clamp(quantity_of(pair))
        elif pair.parent.stage == "material":
            sums[_measure(child, pair)] += _clamp(quantity_of(pair))
    part_stillage = min(ONE, _over(stillage, new))
    parts = []
    for pair in pairs:
        if pair.parent.stage != "material":
            parts.append(_over(weights[pair.parent.pk], inflow))
            continue
        is_backset = pair.parent.pk in backset
        whole = stillage if is_backset else sums[_measure(child, pair)]
        its_own = part_stillage if is_backset else ONE - part_stillage
        parts.append(part_new * its_own * _over(_clamp(quantity_of(pair)), whole))
    return Weighed(parts, _inflow(child, inflow, fresh, pairs))


def _liquid_weights(liquids: Sequence[Pair], fresh: Fresh) -> dict[int, int]:
    """Weights by parent, all in one measure: proof gallons, or gallons where there are none."""
    washes = [pair for pair in liquids if pair.parent.stage == "wash"]
    spirits = [pair for pair in liquids if pair.parent.stage != "wash"]
    if washes and spirits:
        gallons = sum(_clamp(pair.wine_gallons) for pair in washes) or 1
        new = _clamp(fresh.distilled)
        found = {pair.parent.pk: _clamp(pair.proof_gallons) for pair in spirits}
        found |= {pair.parent.pk: new * _clamp(pair.wine_gallons) // gallons for pair in washes}
        return found
    for name in ("proof_gallons", "wine_gallons", "amount"):
        found = {pair.parent.pk: _clamp(getattr(pair, name)) for pair in liquids}
        if any(found.values()):
            return found
    return {pair.parent.pk: 0 for pair in liquids}


def _inflow(child: LotWords, weight: int, fresh: Fresh, pairs: Iterable[Pair]) -> int:
    """All that came into *child*, in the measure its own children are told in."""
    if child.stage == "run":
        return sum(_clamp(pair.proof_gallons) for pair in pairs) + _clamp(fresh.distilled)
    if child.stage == "material":
        return sum(_clamp(quantity_of(pair)) for pair in pairs)
    return weight


def _measure(child: LotWords, pair: Pair) -> tuple[str, str]:
    """Materials of one unit are compared; what goods are packed with, kind by kind."""
    return (pair.parent.unit, pair.parent.product if child.is_finished else "")


def _over(part: int, whole: int) -> Decimal:
    return Decimal(part) / whole if whole else NOTHING


def _clamp(quantity: int) -> int:
    # A correction by difference can leave a pair below nothing; no part is negative.
    return max(quantity, 0)
