"""The tax return of a period: a worksheet in the line order of TTB F 5000.24, not advice.

Line 9 is the tax of the period's documents (27 CFR 19.611). What changes a period that is
filed is an adjustment of a later return, never slipped into the old one. A bottled shortage
stands in Schedule A or on line 9 by the plant's rule: 27 CFR 19.465 does not settle it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from distillery.models import DatedSetting
from distillery.models.plant import Rulebook
from ledger.models import Period, Premises
from reports.models import Adjustment, Filed, Prepayment
from reports.return_adjustments import Item, from_book, from_people
from reports.return_list import return_on, returns_of
from reports.return_periods import CEILINGS, ReturnPeriod
from reports.tax import Document, Share, by_rate, year_documents
from reports.withdrawals import SHORTAGE

RETURN = "return"
# How far back a filed return is compared with the book: tax is assessed, and claimed back,
# within three years (26 U.S.C. 6501, 6511; from memory).
YEARS_BACK = 3
ZERO = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class ReturnFigure:
    """One return: its documents, schedules, what was prepaid, and what is to be paid."""

    registry: str
    plant: str
    proprietor: str
    ein: str
    frequency: str
    period: ReturnPeriod
    documents: tuple[Document, ...]
    increasing: tuple[Item, ...]
    decreasing: tuple[Item, ...]
    prepaid: tuple[tuple[str, Document], ...]
    filed: Filed | None
    through: tuple[int, str]

    @property
    def spirits(self) -> Decimal:
        """Line 9: tax on distilled spirits."""
        return sum((one.tax for one in self.documents), ZERO)

    @property
    def increase(self) -> Decimal:
        """Line 29, and so line 18."""
        return sum((one.total for one in self.increasing), ZERO)

    @property
    def decrease(self) -> Decimal:
        """Line 34, and so line 20."""
        return sum((one.total for one in self.decreasing), ZERO)

    @property
    def gross(self) -> Decimal:
        """Line 19."""
        return self.spirits + self.increase

    @property
    def payable(self) -> Decimal:
        """Line 21; below zero when more is credited than owed."""
        return self.gross - self.decrease

    @property
    def proof_gallons(self) -> Decimal:
        """Proof gallons of line 9, document by document."""
        return sum((one.proof_gallons for one in self.documents), Decimal("0.0"))

    @property
    def by_rate(self) -> tuple[Share, ...]:
        """Line 9 split by rate, which the plant's own records must keep."""
        return by_rate(self.documents)


@dataclass(frozen=True)
class TaxYears:
    """What returns are figured from, read once: rules, documents, filed returns, prepayments."""

    premises: Premises
    rules: Rulebook
    documents: tuple[Document, ...]
    filed: tuple[Filed, ...]
    people: tuple[Adjustment, ...]
    prepayments: tuple[Prepayment, ...]
    since: date | None

    def returns(self, through: date) -> list[ReturnPeriod]:
        """Every return from the book's first month to the one that holds *through*."""
        if self.since is None:
            return []
        return returns_of(self.rules, since=self.since, through=through)

    def filed_of(self, period: ReturnPeriod) -> Filed | None:
        """The return of *period* as it was filed."""
        return next((row for row in self.filed if row.begin == period.begin), None)

    def first_unfiled(self, through: date) -> ReturnPeriod | None:
        """The oldest return that is not filed: where new adjustments go."""
        rows = (one for one in self.returns(through) if self.filed_of(one) is None)
        return next(rows, None)

    def in_period(self, period: ReturnPeriod) -> list[Document]:
        """The documents whose day falls in *period*."""
        return [one for one in self.documents if period.holds(one.day)]


def read_years(premises: Premises, *, since: int, until: int) -> TaxYears:
    """What the returns of *premises* rest on, in the calendar years *since* to *until*."""
    rows = Period.objects.filter(premises=premises, month__year__gte=since, month__year__lte=until)
    months = {period.month: period for period in rows}
    rules = DatedSetting.all_of(premises)
    documents: list[Document] = []
    for year in sorted({month.year for month in months}):
        documents += year_documents(premises, months, rules, through=date(year, 12, 1))
    return TaxYears(
        premises, rules, tuple(documents),
        tuple(Filed.objects.filter(premises=premises, form=RETURN, begin__year__gte=since)),
        tuple(Adjustment.objects.filter(premises=premises, is_withdrawn=False)),
        tuple(Prepayment.objects.filter(premises=premises)),
        min(months, default=None),
    )  # fmt: skip


def return_figure(years: TaxYears, day: date, *, today: date) -> ReturnFigure:
    """The return that holds *day*, as it stands."""
    period = return_on(years.rules, day)
    mine = years.in_period(period)
    paid = _prepaid(years.prepayments, mine)
    open_ones = [one for one in mine if one.number not in dict(paid)]
    is_apart = years.rules.value_on(DatedSetting.Name.SHORTAGE_ON, period.end) == "schedule_a"
    short = [one for one in open_ones if is_apart and one.kind == SHORTAGE]
    items = [*(_shortage(one) for one in short), *_adjusting(years, period, today)]
    plant = getattr(years.premises, "plant", None)
    return ReturnFigure(
        years.premises.registry, years.premises.name,
        plant.proprietor if plant else "", plant.ein if plant else "",
        years.rules.value_on(DatedSetting.Name.RETURN_PERIOD, period.begin), period,
        tuple(one for one in open_ones if one not in short),
        tuple(item for item in items if item.total > 0),
        tuple(item.turned() for item in items if item.total < 0),
        tuple((serial, one) for one in mine for number, serial in paid if number == one.number),
        years.filed_of(period), (years.premises.last_number, years.premises.last_seal),
    )  # fmt: skip


def _prepaid(rows: Iterable[Prepayment], documents: list[Document]) -> list[tuple[str, str]]:
    numbers = {one.number for one in documents}
    return [(name, row.serial) for row in rows for name in row.documents if name in numbers]


def _shortage(document: Document) -> Item:
    text = f"Bottled shortage found {document.day:%Y-%m-%d}, {document.number} (27 CFR 19.465)"
    return Item(text, document.tax, of="", document=document.number)


def _adjusting(years: TaxYears, period: ReturnPeriod, today: date) -> list[Item]:
    """What the book and people adjust on *period*: all that is open goes on the oldest unfiled."""
    items = from_people(years.people, period)
    if years.first_unfiled(max(today, period.end)) == period:
        items += from_book(years.filed, years.documents)
    return items


@dataclass(frozen=True, slots=True)
class Ceiling:
    """A year's tax against what its return period allows (27 CFR 19.235)."""

    year: int
    frequency: str
    tax: Decimal
    most: Decimal | None

    @property
    def is_passed(self) -> bool:
        """Whether the year's tax is above the ceiling of its period."""
        return self.most is not None and self.tax > self.most


def ceiling_of(years: TaxYears, day: date) -> Ceiling:
    """The calendar year of *day*: tax so far and the ceiling of the period in use."""
    frequency = years.rules.value_on(DatedSetting.Name.RETURN_PERIOD, day)
    tax = sum((one.tax for one in years.documents if one.day.year == day.year), ZERO)
    return Ceiling(day.year, frequency, tax, CEILINGS[frequency])
