"""The tax figure of a month: a worksheet from documents and days, not advice.

Tax falls on what is removed on determination of tax (27 CFR 19.611), on unexplained shortages
of bottled spirits found in the month (27 CFR 19.465), and on losses marked as taxed. Each
document is one withdrawal (19.611): its proof gallons at one rate are rounded to the nearest
tenth, half up (19.612), and its tax to the cent (common practice, no source). Where a credit
for wine and flavor content is switched on, each effective rate is a rate of its own (19.612).
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from zoneinfo import ZoneInfo

from distillery.models import DatedSetting
from distillery.models.plant import Rulebook
from ledger.models import Period, Premises
from ledger.quantities import to_decimal
from reports.content_credits import read_credits
from reports.effective_rates import credited
from reports.month_book import MonthBook
from reports.rates import Rates, rates_on, shared, split
from reports.withdrawals import (
    DAY,
    DOCUMENT,
    Credited,
    Withdrawal,
    by_day,
    rows_of,
    withdrawals,
)

TENTH, CENT = Decimal("0.1"), Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Share:
    """A part of one document at one rate: dollars a proof gallon, proof gallons, dollars.

    With a credit for wine and flavor content ``effective`` is the kept rate it rests on (of the
    product at the general rate), ``before`` the rate without it, and ``lots`` are what it is of.
    """

    rate: Decimal
    proof_gallons: Decimal
    tax: Decimal
    effective: Decimal | None = None
    before: Decimal | None = None
    lots: tuple[str, ...] = ()


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
    return tuple(Share(rate, sums[rate][0], sums[rate][1]) for rate in sorted(sums))


def credited_shares(documents: Iterable[Document]) -> list[tuple[Document, Share]]:
    """Every share of *documents* that has a credit for wine and flavor content."""
    return [(one, share) for one in documents for share in one.shares if share.lots]


def to_tenth(hundredths: int) -> Decimal:
    """Book hundredths as proof gallons to the nearest tenth, half up (27 CFR 19.612)."""
    return to_decimal(hundredths).quantize(TENTH, ROUND_HALF_UP)


def _share(rate: Decimal, proof_gallons: Decimal) -> Share:
    return Share(
        rate, proof_gallons.quantize(TENTH), (rate * proof_gallons).quantize(CENT, ROUND_HALF_UP)
    )


def taxed(premises: Premises, item: Withdrawal, rates: Rates, *, used: Decimal) -> Document:
    """The document with its tax, after *used* proof gallons of the year at reduced rates."""
    day = item.at.astimezone(premises.zone).date()
    shares = [_share(*part) for part in split(to_tenth(item.reduced), rates, used=used)]
    if item.general:
        shares.append(_share(rates.general, to_tenth(item.general)))
    reduced, whole = to_tenth(item.reduced), item.reduced + item.general
    for effective, part in sorted(item.credits.items()):
        shares += _credited_shares(part, effective, rates, used=used + reduced)
        reduced += to_tenth(part.reduced)
        whole += part.reduced + part.general
    return Document(
        day, item.number, item.kind, tuple(sorted(item.entries)), whole,
        tuple(shares), item.counts_in, reduced,
    )  # fmt: skip


def _credited_shares(
    part: Credited, effective: Decimal, rates: Rates, *, used: Decimal
) -> list[Share]:
    """The shares of what has one kept effective rate: the tier's rate less the credit."""
    parts = [*split(to_tenth(part.reduced), rates, used=used)]
    if part.general:
        parts.append((rates.general, to_tenth(part.general)))
    found = []
    for rate, proof_gallons in parts:
        less = credited(rate, general=rates.general, effective=effective).quantize(CENT)
        share = _share(less, proof_gallons)
        found.append(replace(
            share, effective=effective, before=rate, lots=tuple(sorted(part.lots))
        ))  # fmt: skip
    return found


def year_documents(
    premises: Premises, months: dict[date, Period], rules: Rulebook, *, through: date
) -> list[Document]:
    """Every document of the calendar year up to the month *through*, taxed in its order."""
    dates = {period.pk: day for day, period in months.items()}
    credits = read_credits(premises, rules, year=through.year)
    rows = rows_of(months, through, with_lots=credits.is_on)
    items = withdrawals(rows, dates, credits, premises.zone)
    items = [
        item for basis in (DOCUMENT, DAY) for item in _on_basis(items, rules, basis, premises.zone)
    ]  # fmt: skip
    items.sort(key=lambda item: (item.counts_in, item.at, item.first))
    used, found = Decimal(0), []
    for item in items:
        day = item.at.astimezone(premises.zone).date()
        found.append(taxed(premises, item, rates_of(rules, day), used=used))
        used += found[-1].reduced
    return found


def rates_of(rules: Rulebook, day: date) -> Rates:
    """The rates on *day* with the plant's share of the lowest tier."""
    share = Decimal(rules.value_on(DatedSetting.Name.REDUCED_SHARE, day))
    return shared(rates_on(day), share)


def _on_basis(
    items: list[Withdrawal], rules: Rulebook, basis: str, zone: ZoneInfo
) -> list[Withdrawal]:
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
