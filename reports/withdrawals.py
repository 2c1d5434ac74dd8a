"""What the book says of each withdrawal before it is taxed: its day, number and proof gallons.

Each document is one withdrawal (27 CFR 19.611), or all of a day where the plant keeps the daily
summary of 19.612(a). What has a kept effective rate for its wine and flavor content stands apart.
"""

from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Q, Sum

from ledger.accounts import SPIRITS
from ledger.models import Movement, Period
from reports.content_credits import Credits

DOCUMENT, DAY = "document", "day"  # what is one withdrawal: 27 CFR 19.611, 19.612
REMOVAL, SHORTAGE, LOSS = "removal", "bottled shortage", "taxed loss"

TAXED = (
    Q(from_account__in=SPIRITS, to_account__in=("tax_determined", "taxpaid"), purpose="remove")
    | Q(from_account="finished", to_account="shortage")
    | Q(from_account__in=(*SPIRITS, "other_plant"), to_account="loss", taxed=True)
)


@dataclass(slots=True)
class Withdrawal:
    """What the book says of one document before it is taxed."""

    at: datetime
    first: int
    number: str
    kind: str
    counts_in: date
    entries: set[int]
    reduced: int = 0
    general: int = 0
    credits: dict[Decimal, "Credited"] = field(default_factory=dict)

    def add(self, other: "Withdrawal") -> None:
        """Take *other* into this one."""
        self.entries |= other.entries
        self.reduced += other.reduced
        self.general += other.general
        for effective, part in other.credits.items():
            self.credits.setdefault(effective, Credited()).add(part)


@dataclass(slots=True)
class Credited:
    """What of a withdrawal has one kept effective rate, in hundredths, and of which lots."""

    reduced: int = 0
    general: int = 0
    lots: set[str] = field(default_factory=set)

    def add(self, other: "Credited") -> None:
        """Take *other* into this one."""
        self.reduced += other.reduced
        self.general += other.general
        self.lots |= other.lots


def _kind(to_account: str) -> str:
    return {"shortage": SHORTAGE, "loss": LOSS}.get(to_account, REMOVAL)


FIELDS = (
    "entry__number", "entry__document", "entry__happened_at", "entry__period", "entry__amends",
    "entry__reverses__number", "entry__reverses__document",
    "entry__corrects__number", "entry__corrects__document",
    "to_account", "from_designation__reduced_rate",
)  # fmt: skip
# What a credit for wine and flavor content asks beside.
CREDIT_FIELDS = (
    "from_lot__code", "from_lot__product", "entry__reverses__happened_at",
    "entry__corrects__happened_at",
)  # fmt: skip


def rows_of(
    months: dict[date, Period], month: date, *, with_lots: bool
) -> list[dict[str, Any]]:  # fmt: skip
    year = [p.pk for day, p in months.items() if day.year == month.year and day <= month]
    counted = Q(amends__in=year) | Q(amends=None, period__in=year)
    rows = Movement.objects.filter(counted & TAXED) if year else Movement.objects.none()
    fields = (*FIELDS, *CREDIT_FIELDS) if with_lots else FIELDS
    query = rows.values(*fields).annotate(proof_gallons=Sum("proof_gallons"))
    return list(query.order_by("entry__happened_at", "entry__number"))


def withdrawals(
    rows: list[dict[str, Any]], dates: dict[int, date], credits: Credits, zone: ZoneInfo
) -> list[Withdrawal]:
    """One a document and month, in the order of removal; a correction joins what it corrects."""
    found: dict[tuple[str, str, date], Withdrawal] = {}
    for row in rows:
        number = _first_of(row, "number")
        document = _first_of(row, "document") or f"entry {number}"
        counts_in = dates[row["entry__amends"] or row["entry__period"]]
        kind = _kind(row["to_account"])
        item = found.setdefault(
            (document, kind, counts_in),
            Withdrawal(
                row["entry__happened_at"], row["entry__number"], document, kind, counts_in, set()
            ),
        )
        item.entries.add(row["entry__number"])
        effective = _effective(row, credits, zone) if credits.is_on and kind == REMOVAL else None
        _add(row, item, effective)
    return sorted(found.values(), key=lambda item: (item.counts_in, item.at, item.first))


def _add(row: dict[str, Any], item: Withdrawal, effective: Decimal | None) -> None:
    """The row's proof gallons, where a rate is kept to the part that has it."""
    part: Withdrawal | Credited = item
    if effective is not None:
        part = item.credits.setdefault(effective, Credited())
        part.lots.add(row["from_lot__code"])
    if row["from_designation__reduced_rate"] is False:
        part.general += row["proof_gallons"]
    else:
        part.reduced += row["proof_gallons"]


def _effective(row: dict[str, Any], credits: Credits, zone: ZoneInfo) -> Decimal | None:
    """The kept rate of the lot on the day of its removal, also where that is taken back."""
    day = _first_of(row, "happened_at").astimezone(zone).date()
    lot, product = row["from_lot__code"] or "", row["from_lot__product"] or ""
    return credits.rate_of(lot=lot, product=product, day=day)


def _first_of(row: dict[str, Any], name: str) -> Any:
    names = (f"entry__reverses__{name}", f"entry__corrects__{name}", f"entry__{name}")
    return next((row[each] for each in names if row[each]), "")


def by_day(items: list[Withdrawal], zone: ZoneInfo) -> list[Withdrawal]:
    """One withdrawal a day and kind: the daily summary of 27 CFR 19.612(a)."""
    found: dict[tuple[date, str, date], Withdrawal] = {}
    for item in items:
        key = (item.at.astimezone(zone).date(), item.kind, item.counts_in)
        if key not in found:
            found[key] = Withdrawal(
                item.at, item.first, item.number, item.kind, item.counts_in, set()
            )  # fmt: skip
        else:
            found[key].number = f"{found[key].number}, {item.number}"
        found[key].add(item)
    return list(found.values())
