"""The tax figure of a month: a worksheet from documents and days, not advice.

Tax falls on what is removed on determination of tax (27 CFR 19.611), on unexplained shortages
of bottled spirits found in the month (27 CFR 19.465), and on losses marked as taxed. Each
document is one withdrawal (19.611): its proof gallons at one rate are rounded to the nearest
tenth, half up (19.612), and its tax to the cent (common practice, no source).
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import ROUND_HALF_UP, Decimal
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Q, Sum

from distillery.models import DatedSetting
from distillery.models.plant import Rulebook
from ledger.accounts import SPIRITS
from ledger.models import Movement, Period, Premises
from ledger.quantities import to_decimal
from reports.month_book import MonthBook
from reports.rates import Rates, rates_on, shared, split

TENTH, CENT = Decimal("0.1"), Decimal("0.01")
DOCUMENT, DAY = "document", "day"  # what is one withdrawal: 27 CFR 19.611, 19.612
REMOVAL, SHORTAGE, LOSS = "removal", "bottled shortage", "taxed loss"

TAXED = (
    Q(from_account__in=SPIRITS, to_account__in=("tax_determined", "taxpaid"), purpose="remove")
    | Q(from_account="finished", to_account="shortage")
    | Q(from_account__in=(*SPIRITS, "other_plant"), to_account="loss", taxed=True)
)


@dataclass(frozen=True, slots=True)
class Share:
    """A part of one document at one rate: dollars a proof gallon, proof gallons, dollars."""

    rate: Decimal
    proof_gallons: Decimal
    tax: Decimal


@dataclass(frozen=True, slots=True)
class Document:
    """One withdrawal: its day, number, the entries that made it, and the tax.

    ``book_proof_gallons`` is the book's sum in hundredths before the rounding to a tenth,
    ``reduced`` what counts toward the year's reduced rates, ``counts_in`` the month it is of.
    """

    day: date
    number: str
    kind: str
    entries: tuple[int, ...]
    book_proof_gallons: int
    shares: tuple[Share, ...]
    counts_in: date
    reduced: Decimal

    @property
    def proof_gallons(self) -> Decimal:
        """Proof gallons to the tenth, over all rates."""
        return sum((share.proof_gallons for share in self.shares), Decimal("0.0"))

    @property
    def tax(self) -> Decimal:
        """Dollars."""
        return sum((share.tax for share in self.shares), Decimal("0.00"))


@dataclass(frozen=True, slots=True)
class TierUse:
    """How much of one tier the calendar year had used by the month's end."""

    rate: Decimal
    through: Decimal | None
    used: Decimal


@dataclass(frozen=True, slots=True)
class TaxFigure:
    """The month's documents, its sums by rate, and the year's use of the reduced rates."""

    registry: str
    plant: str
    month: date
    status: str
    documents: tuple[Document, ...]
    used_before: Decimal
    used_after: Decimal
    rates: Rates
    through: tuple[int, str]

    @property
    def tax(self) -> Decimal:
        """Dollars due on the month's documents."""
        return sum((document.tax for document in self.documents), Decimal("0.00"))

    @property
    def proof_gallons(self) -> Decimal:
        """Proof gallons to the tenth, document by document."""
        return sum((document.proof_gallons for document in self.documents), Decimal("0.0"))

    @property
    def book_proof_gallons(self) -> int:
        """The book's proof gallons in hundredths, for the tie to the forms."""
        return sum(document.book_proof_gallons for document in self.documents)

    @property
    def by_rate(self) -> tuple[Share, ...]:
        """The month's proof gallons and tax at each rate."""
        return by_rate(self.documents)

    @property
    def tiers(self) -> tuple[TierUse, ...]:
        """Each tier with what the calendar year had used of it by the month's end."""
        used = dict(split(self.used_after, self.rates, used=Decimal(0)))
        return tuple(
            TierUse(tier.rate, tier.through, used.get(tier.rate, Decimal("0.0")))
            for tier in self.rates.tiers
        )


def by_rate(documents: Iterable[Document]) -> tuple[Share, ...]:
    """Proof gallons and tax of *documents* at each rate, lowest first."""
    sums: dict[Decimal, list[Decimal]] = defaultdict(lambda: [Decimal(0), Decimal(0)])
    for document in documents:
        for share in document.shares:
            sums[share.rate][0] += share.proof_gallons
            sums[share.rate][1] += share.tax
    return tuple(Share(rate, *sums[rate]) for rate in sorted(sums))


def to_tenth(hundredths: int) -> Decimal:
    """Book hundredths as proof gallons to the nearest tenth, half up (27 CFR 19.612)."""
    return to_decimal(hundredths).quantize(TENTH, ROUND_HALF_UP)


def _share(rate: Decimal, proof_gallons: Decimal) -> Share:
    return Share(
        rate, proof_gallons.quantize(TENTH), (rate * proof_gallons).quantize(CENT, ROUND_HALF_UP)
    )


@dataclass(slots=True)
class _Withdrawal:
    """What the book says of one document before it is taxed."""

    at: datetime
    first: int
    number: str
    kind: str
    counts_in: date
    entries: set[int]
    reduced: int = 0
    general: int = 0


def _kind(to_account: str) -> str:
    return {"shortage": SHORTAGE, "loss": LOSS}.get(to_account, REMOVAL)


FIELDS = (
    "entry__number", "entry__document", "entry__happened_at", "entry__period", "entry__amends",
    "entry__reverses__number", "entry__reverses__document",
    "entry__corrects__number", "entry__corrects__document",
    "to_account", "from_designation__reduced_rate",
)  # fmt: skip


def _rows(months: dict[date, Period], month: date) -> list[dict[str, Any]]:
    year = [p.pk for day, p in months.items() if day.year == month.year and day <= month]
    counted = Q(amends__in=year) | Q(amends=None, period__in=year)
    rows = Movement.objects.filter(counted & TAXED) if year else Movement.objects.none()
    query = rows.values(*FIELDS).annotate(proof_gallons=Sum("proof_gallons"))
    return list(query.order_by("entry__happened_at", "entry__number"))


def _withdrawals(rows: list[dict[str, Any]], dates: dict[int, date]) -> list[_Withdrawal]:
    """One a document and month, in the order of removal; a correction joins what it corrects."""
    found: dict[tuple[str, str, date], _Withdrawal] = {}
    for row in rows:
        number = _first_of(row, "number")
        document = _first_of(row, "document") or f"entry {number}"
        counts_in = dates[row["entry__amends"] or row["entry__period"]]
        kind = _kind(row["to_account"])
        item = found.setdefault(
            (document, kind, counts_in),
            _Withdrawal(
                row["entry__happened_at"], row["entry__number"], document, kind, counts_in, set()
            ),
        )
        item.entries.add(row["entry__number"])
        if row["from_designation__reduced_rate"] is False:
            item.general += row["proof_gallons"]
        else:
            item.reduced += row["proof_gallons"]
    return sorted(found.values(), key=lambda item: (item.counts_in, item.at, item.first))


def _first_of(row: dict[str, Any], name: str) -> Any:
    names = (f"entry__reverses__{name}", f"entry__corrects__{name}", f"entry__{name}")
    return next((row[each] for each in names if row[each]), "")


def taxed(premises: Premises, item: _Withdrawal, rates: Rates, *, used: Decimal) -> Document:
    """The document with its tax, after *used* proof gallons of the year at reduced rates."""
    day = item.at.astimezone(premises.zone).date()
    shares = [_share(*part) for part in split(to_tenth(item.reduced), rates, used=used)]
    if item.general:
        shares.append(_share(rates.general, to_tenth(item.general)))
    return Document(
        day, item.number, item.kind, tuple(sorted(item.entries)), item.reduced + item.general,
        tuple(shares), item.counts_in, to_tenth(item.reduced),
    )  # fmt: skip


def by_day(items: list[_Withdrawal], zone: ZoneInfo) -> list[_Withdrawal]:
    """One withdrawal a day and kind: the daily summary of 27 CFR 19.612(a)."""
    found: dict[tuple[date, str, date], _Withdrawal] = {}
    for item in items:
        key = (item.at.astimezone(zone).date(), item.kind, item.counts_in)
        if key not in found:
            found[key] = replace(item, entries=set(item.entries))
            continue
        day = found[key]
        day.number = f"{day.number}, {item.number}"
        day.entries |= item.entries
        day.reduced += item.reduced
        day.general += item.general
    return list(found.values())


def year_documents(
    premises: Premises, months: dict[date, Period], rules: Rulebook, *, through: date
) -> list[Document]:
    """Every document of the calendar year up to the month *through*, taxed in its order."""
    dates = {period.pk: day for day, period in months.items()}
    items = _withdrawals(_rows(months, through), dates)
    items = [
        item for basis in (DOCUMENT, DAY) for item in _on_basis(items, rules, basis, premises.zone)
    ]  # fmt: skip
    items.sort(key=lambda item: (item.counts_in, item.at, item.first))
    used, found = Decimal(0), []
    for item in items:
        day = item.at.astimezone(premises.zone).date()
        found.append(taxed(premises, item, rates_of(rules, day), used=used))
        used += to_tenth(item.reduced)
    return found


def rates_of(rules: Rulebook, day: date) -> Rates:
    """The rates on *day* with the plant's share of the lowest tier."""
    share = Decimal(rules.value_on(DatedSetting.Name.REDUCED_SHARE, day))
    return shared(rates_on(day), share)


def _on_basis(
    items: list[_Withdrawal], rules: Rulebook, basis: str, zone: ZoneInfo
) -> list[_Withdrawal]:
    mine = [
        item for item in items
        if rules.value_on(DatedSetting.Name.TAX_BASIS, item.at.astimezone(zone).date()) == basis
    ]  # fmt: skip
    return by_day(mine, zone) if basis == DAY else mine


def tax_from(book: MonthBook) -> TaxFigure:
    """The tax figure of a month whose book was read already: two further queries."""
    rules = book.editions.rules
    found = year_documents(book.premises, book.months, rules, through=book.month)
    mine = tuple(one for one in found if one.counts_in >= book.month)
    used_after = sum((one.reduced for one in found), Decimal(0))
    used_before = used_after - sum((one.reduced for one in mine), Decimal(0))
    return TaxFigure(
        book.premises.registry, book.premises.name, book.month, book.status,
        mine, used_before, used_after, rates_of(rules, book.month), book.through,
    )  # fmt: skip
