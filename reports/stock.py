"""Bottled stock by product, and what counts found against the book."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime

from ledger.accounts import ACCOUNTS
from ledger.models import Holding, Movement, Premises
from ledger.models.book import LIVE
from ledger.posting import next_month

GONE = ("loss", "shortage", "taxpaid_loss")


@dataclass(frozen=True, slots=True)
class ProductStock:
    """Bottles of one product in one account; proof gallons in hundredths."""

    name: str
    account: str
    bottle_ml: int
    per_case: int
    bottles: int
    proof_gallons: int

    @property
    def cases(self) -> int:
        """Full cases."""
        return self.bottles // self.per_case if self.per_case else 0

    @property
    def loose(self) -> int:
        """Bottles beyond full cases."""
        return self.bottles - self.cases * self.per_case


def bottled_stock(premises: Premises) -> list[ProductStock]:
    """What stands bottled now, in bond and in the plant's own taxpaid stock."""
    rows = Holding.objects.filter(LIVE, premises=premises, account__in=("finished", "taxpaid"))
    sums: dict[tuple[str, str, int, int], list[int]] = defaultdict(lambda: [0, 0])
    for row in rows.select_related("lot"):
        lot = row.lot
        key = (lot.name, row.account, lot.bottle_ml or 0, lot.per_case or 0)
        sums[key][0] += row.amount
        sums[key][1] += row.proof_gallons
    return [
        ProductStock(name, ACCOUNTS[account].title, ml, case, *figures)
        for (name, account, ml, case), figures in sorted(sums.items())
    ]


@dataclass(frozen=True, slots=True)
class CountDifference:
    """One difference a count found: where, how much in hundredths of PG, what it was booked as."""

    entry: int
    at: datetime
    vessel: str
    lot: str
    proof_gallons: int
    bottles: int
    booked_as: str


def count_differences(premises: Premises, first: date, last: date) -> list[CountDifference]:
    """What the counts of the months *first* to *last* found other than the book."""
    begin, end = (
        datetime(day.year, day.month, day.day, tzinfo=premises.zone)
        for day in (first, next_month(last))
    )
    rows = Movement.objects.filter(
        entry__premises=premises, entry__operation="count", entry__reversed_by=None,
        at__gte=begin, at__lt=end,
    )  # fmt: skip
    rows = rows.exclude(proof_gallons=0, amount=0).select_related(
        "entry", "from_vessel", "to_vessel", "from_lot", "to_lot"
    )
    return [_difference(row) for row in rows.order_by("at", "entry__number", "leg")]


def _difference(row: Movement) -> CountDifference:
    is_gone = row.to_account in GONE
    vessel = row.from_vessel if is_gone else row.to_vessel
    lot = row.from_lot if is_gone else row.to_lot
    sign = -1 if is_gone else 1
    return CountDifference(
        row.entry.number, row.at, vessel.code if vessel else "", lot.code if lot else "",
        sign * row.proof_gallons, sign * row.amount,
        ACCOUNTS[row.to_account if is_gone else row.from_account].title,
    )  # fmt: skip
