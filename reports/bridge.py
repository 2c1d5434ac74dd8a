"""From opening to closing, account by account, over any run of months: what came in, what left,
what was lost. The reading that a person can follow, as a table and as a picture.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from ledger.accounts import ACCOUNTS, SPIRITS
from ledger.models import Premises
from ledger.posting import next_month
from ledger.totals import Key, Three, balances, running_before

LOST = ("loss", "shortage", "destroyed")
# Words for a step where the other account's own title would not say enough.
WORDS = {
    ("in", "distilled"): "Distilled",
    ("in", "other_plant"): "Received in bond",
    ("in", "tax_determined"): "Returned to bond",
    ("in", "taxpaid"): "Returned to bond",
    ("in", "customs"): "From customs custody",
    ("in", "gain"): "Gains",
    ("in", "opening"): "Opening balances entered",
    ("out", "distilled"): "Run balance",
    ("out", "other_plant"): "Shipped in bond",
    ("out", "tax_determined"): "Removed on determination of tax",
    ("out", "taxpaid"): "Removed to own taxpaid stock",
    ("out", "loss"): "Losses",
    ("out", "shortage"): "Unexplained shortage",
    ("out", "destroyed"): "Destroyed",
    ("out", "research"): "Samples",
}


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the bridge in hundredths of a proof gallon; what left is below zero."""

    title: str
    value: int
    is_loss: bool = False


@dataclass(frozen=True, slots=True)
class Bridge:
    """An account from its opening to its closing."""

    account: str
    title: str
    opening: int
    steps: tuple[Step, ...]
    closing: int

    @property
    def holds(self) -> bool:
        """Whether the steps lead from the opening to the closing."""
        return self.opening + sum(step.value for step in self.steps) == self.closing

    @property
    def lost(self) -> int:
        """What was lost, as a positive figure."""
        return -sum(step.value for step in self.steps if step.is_loss)


def span_flows(premises: Premises, first: date, last: date) -> tuple[dict[Key, Three], ...]:
    """(running sums before *first*, flows of the months *first* to *last*) as they stand now."""
    before = running_before(premises, first)
    after = running_before(premises, next_month(last))
    empty: Three = [0, 0, 0]
    own = {
        key: [a - b for a, b in zip(three, before.get(key, empty), strict=True)]
        for key, three in after.items()
    }
    return before, {key: three for key, three in own.items() if any(three)}


def _held(sums: dict[Key, Three], account: str) -> int:
    return sum(three[2] for (where, _), three in balances(sums).items() if where == account)


def bridges(premises: Premises, first: date, last: date) -> tuple[Bridge, ...]:
    """A bridge for each account of spirits that held or moved anything."""
    before, own = span_flows(premises, first, last)
    found = []
    for account in SPIRITS:
        opening = _held(before, account)
        steps = _steps(own, account)
        closing = opening + _held(own, account)
        if opening or closing or steps:
            found.append(Bridge(account, ACCOUNTS[account].title, opening, steps, closing))
    return tuple(found)


def _steps(own: dict[Key, Three], account: str) -> tuple[Step, ...]:
    """What came in, then what left, then what was lost, each by where it came from or went."""
    sums: dict[tuple[int, str], int] = defaultdict(int)
    for key, three in own.items():
        origin, end = str(key[0]), str(key[1])
        if (origin == account) == (end == account):
            continue
        side, other = ("in", origin) if end == account else ("out", end)
        order = 0 if side == "in" else 2 if other in LOST else 1
        sums[order, _title(side, other)] += three[2] if side == "in" else -three[2]
    return tuple(
        Step(title, value, is_loss=order == 2)
        for (order, title), value in sorted(sums.items(), key=lambda row: row[0])
        if value
    )


def _title(side: str, other: str) -> str:
    where = ACCOUNTS[other].title
    plain = f"From {where}" if side == "in" else f"To {where}"
    return WORDS.get((side, other), plain)
