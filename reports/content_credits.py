"""The credit for wine and flavor content in a tax figure: kept rates, by the plant's dated rule.

26 U.S.C. 5010; 27 CFR 19.245-19.250. Off until the owner's rule switches it on, and then only
for removals of lots and products whose effective rate is kept. How it goes with a reduced rate
stands in Industry Circular 2022-3, whose text was not read; see effective_rates.credited.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from distillery.models import DatedSetting
from distillery.models.plant import Rulebook
from ledger.models import Premises
from reports.models import EffectiveRate

NAME = DatedSetting.Name.CONTENT_CREDIT
OFF = "off"
UNCONFIRMED = (
    "The credit for wine and flavor content (26 U.S.C. 5010) is taken off the rate that applies, "
    "never below zero. That reading is not confirmed: Industry Circular 2022-3 was not read. "
    "Check it there before filing. Shortages and losses are figured without it."
)


@dataclass(frozen=True, slots=True)
class Credits:
    """The kept rates of a plant and the rule by which they are used."""

    rules: Rulebook
    kept: tuple[EffectiveRate, ...]
    is_on: bool

    def rate_of(self, *, lot: str, product: str, day: date) -> Decimal | None:
        """The effective rate, at the general rate, of what is removed on *day*; None for none."""
        method = self.rules.value_on(NAME, day)
        if method == OFF:
            return None
        name = lot if method == EffectiveRate.Method.BATCH else product
        found = [row for row in self.kept if row.method == method and _is_for(row, name, day)]
        return max(found, key=lambda row: (row.effective, row.pk)).rate if found else None


def _is_for(row: EffectiveRate, name: str, day: date) -> bool:
    if row.method == EffectiveRate.Method.BATCH:
        return bool(name) and row.lot == name  # a batch has one rate, whenever it leaves
    begun = row.effective <= day and (row.until is None or day <= row.until)
    return bool(name) and row.product == name and begun


def read_credits(premises: Premises, rules: Rulebook, *, year: int) -> Credits:
    """What credits the removals of *year* may have; one query, none where the rule is off."""
    days = [date(year, 1, 1), *(day for day in rules.days_of(NAME) if day.year == year)]
    is_on = any(rules.value_on(NAME, day) != OFF for day in days)
    rows = tuple(EffectiveRate.objects.filter(premises=premises)) if is_on else ()
    return Credits(rules, rows, is_on)
