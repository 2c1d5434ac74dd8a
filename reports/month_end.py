"""The month's filings examined as one, and the closing that rests on it."""

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from ledger import closing
from ledger.errors import NotClosable
from ledger.models import Period, Premises
from ledger.posting import lock
from ledger.quantities import to_decimal
from reports import inventories, tie_outs
from reports.checks import Check, in_forms
from reports.filled import FilledForm
from reports.filling import fill_from, sources_in
from reports.forms import FORMS
from reports.month_book import MonthBook, read_book
from reports.reconciliation import held_now
from reports.suspended import marked
from reports.tax import TaxFigure, tax_from


@dataclass(frozen=True, slots=True)
class Filings:
    """All filings of a month: forms by (slug, source), the tax figure, and every check."""

    book: MonthBook
    forms: dict[tuple[str, str], FilledForm]
    tax: TaxFigure
    checks: tuple[Check, ...]

    @property
    def blocking(self) -> tuple[Check, ...]:
        """The checks that fail and stop closing."""
        return tuple(one for one in self.checks if one.blocking and not one.holds)

    @property
    def warnings(self) -> tuple[Check, ...]:
        """The checks that fail and only warn."""
        return tuple(one for one in self.checks if not one.blocking and not one.holds)


@dataclass(frozen=True, slots=True)
class Closed:
    """A closed month and the sentences of what did not tie but did not stop it."""

    period: Period
    warnings: tuple[str, ...]


def forms_of(book: MonthBook) -> dict[tuple[str, str], FilledForm]:
    """Every form of the month by (slug, source); the storage report once a source."""
    found = {}
    for slug, form in FORMS.items():
        for source in sources_in(book) if form.by_source else ("",):
            found[slug, source] = marked(fill_from(book, form, source=source), book)
    return found


def filings_of(premises: Premises, month: date) -> Filings:
    """The filings of *month* (its first day), read in at most eleven queries."""
    book = read_book(premises, month)
    forms = forms_of(book)
    tax = tax_from(book)
    held = held_now(premises) if book.present is not None else {}
    checks = (
        *in_forms(forms, book),
        *tie_outs.between_forms(forms, book),
        tie_outs.against_tax(forms, book, tax.book_proof_gallons),
        *tie_outs.with_last_month(book),
        *tie_outs.with_holdings(held, book),
    )
    return Filings(book, forms, tax, checks)


def told(check: Check) -> str:
    """A failed check as a sentence with both figures."""
    where = f", {check.detail}" if check.detail else ""
    left, right = to_decimal(check.left), to_decimal(check.right)
    return f"{check.title}: {left} against {right} PG{where}."


def close_month(premises: Premises, month: date, *, by: str, now: datetime | None = None) -> Closed:
    """Close *month* (its first day) if every check that the form or the law states holds.

    Raises NotClosable with all reasons; then nothing has changed. The checks run under the
    lock, so that nothing is recorded between them and the closing.
    """
    now = now or timezone.now()
    with transaction.atomic():
        locked = lock(premises)
        closing.check_order(locked, month, now)
        filings = filings_of(locked, month)
        reasons = [told(one) for one in filings.blocking]
        if reasons:
            raise NotClosable(reasons)
        period = closing.close(locked, month, by=by, now=now)
    premises.closed_through = month
    warned = (*(told(one) for one in filings.warnings), *inventories.warnings(filings.book))
    return Closed(period, warned)
