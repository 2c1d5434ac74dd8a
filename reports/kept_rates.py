"""Working out an effective rate and keeping it: by batch, standard, or average of six months.

27 CFR 19.246 and 19.247 (batch), 19.248 and 19.615 (standard), 19.249 and 19.613 (average). A
kept rate is at the general rate of tax; what a reduced rate makes of it is not settled here.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from ledger.models import Descent, Lot, Movement, Premises
from ledger.posting import next_month
from ledger.quantities import to_decimal
from reports.batch_content import FLAVOR, WINE, Content, Contents, wine_rate
from reports.effective_rates import MONTHS, average_rate, standard_flavor
from reports.models import EffectiveRate
from reports.month_book import month_before
from reports.rates import rates_on

CENT, TENTH = Decimal("0.01"), Decimal("0.1")
ZERO = Decimal(0)
Worked = tuple[Decimal, dict[str, Any]]


def mixed_lots(premises: Premises) -> list[Lot]:
    """Every lot that wine or a flavor with alcohol went into, and what came of it; newest first."""
    rows = Movement.objects.filter(purpose__in=(FLAVOR, WINE), to_lot__premises=premises)
    found = set(rows.values_list("to_lot", flat=True))
    fresh = found
    while fresh:
        kin = Descent.objects.filter(parent__in=fresh, proof_gallons__gt=0)
        fresh = set(kin.values_list("child", flat=True)) - found
        found |= fresh
    return list(Lot.objects.filter(pk__in=found).select_related("opened_by").order_by("-pk"))


def by_batch(content: Content, general: Decimal) -> Worked:
    """(rate, what it was worked out from) of a batch by the formula of 27 CFR 19.246."""
    batch = content.batch
    worked = {
        "spirits": str(batch.spirits),
        "wines": [
            {"wine_gallons": str(w.wine_gallons), "abv": str(w.abv), "rate": str(w.rate)}
            for w in batch.wines
        ],
        "flavors": str(batch.flavors),
        "taxed_flavors": str(batch.taxed_flavors),
        "proof_gallons": str(batch.proof_gallons),
        "tax": str(batch.tax(general).quantize(CENT, ROUND_HALF_UP)),
        "general": str(general),
        "from_lots": [one.lot for one in content.ingredients if one.counts],
    }
    return batch.effective_rate(general), worked


def standard(
    *, least_flavor: Decimal, wine_gallons: Decimal, wine_abv: Decimal, general: Decimal
) -> Worked:
    """The greatest rate of a product, from the least flavor and wine in each proof gallon.

    *least_flavor* in proof gallons, of which at most 0.025 counts (27 CFR 19.615(b)). Raises
    ValueError when they come to more than a proof gallon, or the wine is above 24 per cent.
    """
    flavor = standard_flavor(least_flavor)
    wine = wine_gallons * 2 * wine_abv / 100
    rate = wine_rate(wine_abv)
    if flavor + wine > 1 or rate is None:
        raise ValueError("More than a proof gallon, or wine that is taxed as spirits.")
    tax = (1 - flavor - wine) * general + wine_gallons * rate
    worked = {
        "least_flavor": str(least_flavor), "flavor_used": str(flavor),
        "wine_gallons": str(wine_gallons), "wine_abv": str(wine_abv), "wine_rate": str(rate),
        "general": str(general),
    }  # fmt: skip
    return tax.quantize(CENT, ROUND_HALF_UP), worked


@dataclass(frozen=True, slots=True)
class Bottled:
    """What was bottled of one lot on a day: proof gallons by where they came from, and tax."""

    day: date
    product: str
    lot: str
    proof_gallons: Decimal
    wine: Decimal
    flavors: Decimal
    tax: Decimal

    @property
    def spirits(self) -> Decimal:
        """Proof gallons that are neither eligible wine nor eligible flavor."""
        return self.proof_gallons - self.wine - self.flavors


def bottled_between(
    premises: Premises, *, first: date, last: date, product: str = ""
) -> list[Bottled]:
    """The bottlings of what holds eligible wine or flavor, by day and lot, at the general rate."""
    lots = {lot.pk: lot for lot in mixed_lots(premises) if lot.product in (product or lot.product,)}
    rows = Movement.objects.filter(purpose="bottle", to_lot__in=lots, from_lot__isnull=False)
    sums: dict[tuple[date, int], int] = defaultdict(int)
    for row in rows.order_by("at", "pk").values("at", "to_lot", "proof_gallons"):
        day = row["at"].astimezone(premises.zone).date()
        if first <= day <= last:
            sums[day, row["to_lot"]] += row["proof_gallons"]
    contents = Contents(premises)
    found = (_bottled(day, lots[key], proof, contents) for (day, key), proof in sums.items())
    return [one for one in found if one.wine or one.flavors]


def _bottled(day: date, lot: Lot, proof: int, contents: Contents) -> Bottled:
    """Proof gallons to a tenth, tax to the cent, by the shares of the lot's batch."""
    general, batch = rates_on(day).general, contents.of(lot).batch
    whole = batch.proof_gallons
    gallons = to_decimal(proof).quantize(TENTH, ROUND_HALF_UP)
    if not whole:
        return Bottled(day, lot.product, lot.code, gallons, ZERO, ZERO, gallons * general)
    wine = sum((one.proof_gallons for one in batch.wines), ZERO)
    return Bottled(
        day, lot.product, lot.code, gallons,
        (gallons * wine / whole).quantize(TENTH, ROUND_HALF_UP),
        (gallons * batch.flavors / whole).quantize(TENTH, ROUND_HALF_UP),
        (gallons * batch.tax(general) / whole).quantize(CENT, ROUND_HALF_UP),
    )  # fmt: skip


def average(premises: Premises, product: str, month: date) -> Worked | None:
    """The average rate of *product* for *month*, from the six months before; None for none.

    27 CFR 19.613: each month's end, tax over proof gallons of that month and the five before.
    """
    first = month
    for _ in range(MONTHS):
        first = month_before(first)
    rows = bottled_between(
        premises, first=first, last=month - timedelta(days=1), product=product
    )  # fmt: skip
    months = by_month(rows, first)
    rate = average_rate([(proof, tax) for _, proof, tax in months])
    if rate is None:
        return None
    told = [
        {"month": f"{day:%Y-%m}", "proof_gallons": str(proof), "tax": str(tax)}
        for day, proof, tax in months
    ]
    return rate, {"months": told, "lots": sorted({row.lot for row in rows})}


def by_month(rows: Iterable[Bottled], first: date) -> list[tuple[date, Decimal, Decimal]]:
    """(month, proof gallons, tax) of the six months from *first* on."""
    found, month = [], first
    everything = list(rows)
    for _ in range(MONTHS):
        mine = [row for row in everything if row.day.replace(day=1) == month]
        found.append((
            month, sum((row.proof_gallons for row in mine), ZERO),
            sum((row.tax for row in mine), ZERO),
        ))  # fmt: skip
        month = next_month(month)
    return found


def keep(
    premises: Premises, method: str, worked: Worked, *, effective: date, by: str, lot: str = "",
    product: str = "", until: date | None = None,
) -> EffectiveRate:  # fmt: skip
    """Keep a rate with what it was worked out from."""
    rate, told = worked
    return EffectiveRate.objects.create(
        premises=premises, method=method, lot=lot, product=product, effective=effective,
        until=until, rate=rate, worked=told, kept_by=by,
    )  # fmt: skip
