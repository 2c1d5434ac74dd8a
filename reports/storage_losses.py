"""Losses of storage: tanks against the quarter's limit, barrels by their age when emptied.

Sources: 27 CFR 19.462(a) (when a loss is determined), (e) (1.5 % of what tanks and stored bulk
conveyances contained in a quarter; barrels are not in this test). A tote counts as a tank, our
reading of a bulk conveyance.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Q, Sum

from distillery.loss_limits import LossTest, tank_test
from ledger.models import Holding, Movement, Period, Premises, Vessel
from ledger.models.book import LIVE
from ledger.posting import next_month

BARREL = Vessel.Kind.BARREL
STORAGE = "storage"


def quarter_of(month: date) -> tuple[date, date]:
    """First and last month of the calendar quarter of *month*."""
    first = month.replace(month=3 * ((month.month - 1) // 3) + 1, day=1)
    return first, next_month(next_month(first))


def _counting(premises: Premises, wanted: Q) -> Q:
    """Movements that count in the months for which *wanted* holds of a Period."""
    ids = list(Period.objects.filter(wanted, premises=premises).values_list("pk", flat=True))
    return Q(period__in=ids, amends=None) | Q(amends__in=ids)


def _sum(rows: Q) -> int:
    found = Movement.objects.filter(rows).aggregate(total=Sum("proof_gallons"))
    return found["total"] or 0


_INTO = Q(to_account=STORAGE) & ~Q(to_vessel_kind=BARREL)
_OUT = Q(from_account=STORAGE) & ~Q(from_vessel_kind=BARREL)


def tank_loss(premises: Premises, month: date) -> LossTest:
    """The test of the quarter that holds *month*: lost of opening plus receipts.

    The opening is what stands in tanks now less all that moved since the quarter began, so the
    reading does not grow with the book's history.
    """
    first, last = quarter_of(month)
    since = _counting(premises, Q(month__gte=first))
    held = Holding.objects.filter(LIVE, premises=premises, account=STORAGE)
    held = held.exclude(vessel__kind=BARREL)
    now = held.aggregate(total=Sum("proof_gallons"))["total"] or 0
    opening = now - _sum(since & _INTO) + _sum(since & _OUT)
    mine = _counting(premises, Q(month__gte=first, month__lte=last))
    # From one tank to another nothing is received, and nothing lost.
    received = _sum(mine & _INTO & ~_OUT & ~Q(from_account="gain"))
    lost = _sum(mine & _OUT & Q(to_account__in=("loss", "shortage")))
    return tank_test(opening, received, lost)


@dataclass(frozen=True, slots=True)
class BarrelLoss:
    """Barrels emptied at one age in whole years: how many, filled, lost, in hundredths of PG."""

    years: int
    barrels: int
    filled: int
    lost: int

    @property
    def percent(self) -> float:
        """The loss in per cent of what was filled."""
        return self.lost * 100 / self.filled if self.filled else 0.0


def barrel_losses(premises: Premises, first: date, last: date) -> list[BarrelLoss]:
    """Barrels emptied in the months *first* to *last*, by their whole years in wood."""
    counting = _counting(premises, Q(month__gte=first, month__lte=last))
    rows = Movement.objects.filter(
        counting, from_account=STORAGE, from_vessel_kind=BARREL, entry__movements__purpose="dump",
        entry__movements__to_account="loss",
    )  # fmt: skip
    rows = rows.exclude(to_account=STORAGE, to_vessel_kind=BARREL)
    sums: dict[tuple[int, int], list[int]] = {}
    for row in rows.select_related("from_lot").distinct():
        key = (row.entry_id, row.from_vessel_id or 0)
        found = sums.setdefault(key, [_years(row), 0, 0])
        found[1] += row.proof_gallons
        found[2] += row.proof_gallons if row.to_account == "loss" else 0
    return _by_age(one for one in sums.values() if one[2])


def _years(row: Movement) -> int:
    since = row.from_lot.aged_from if row.from_lot else None
    return int((row.at.date() - since) / timedelta(days=365.25)) if since else 0


def _by_age(emptied: Iterable[list[int]]) -> list[BarrelLoss]:
    ages: dict[int, list[list[int]]] = defaultdict(list)
    for one in emptied:
        ages[one[0]].append(one)
    return [
        BarrelLoss(age, len(ones), sum(one[1] for one in ones), sum(one[2] for one in ones))
        for age, ones in sorted(ages.items())
    ]
