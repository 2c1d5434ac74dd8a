"""The tax return against the monthly reports of its period.

Only a return of whole months can be held against them; a semi-monthly one needs its days.
"""

from datetime import timedelta

from ledger.posting import next_month
from reports.checks import Check, check
from reports.month_book import read_book
from reports.month_end import forms_of
from reports.return_periods import ReturnPeriod
from reports.returns import TaxYears
from reports.tie_outs import taxable_on_forms


def whole_months(period: ReturnPeriod) -> bool:
    """Whether *period* begins and ends with a month."""
    return period.begin.day == 1 and (period.end + timedelta(days=1)).day == 1


def against_reports(years: TaxYears, period: ReturnPeriod) -> Check | None:
    """Taxable proof gallons of the months' reports against the return's documents.

    None for a period that does not hold whole months.
    """
    if not whole_months(period):
        return None
    on_forms, month = 0, period.begin
    while month <= period.end:
        book = read_book(years.premises, month)
        on_forms += taxable_on_forms(forms_of(book), book)
        month = next_month(month)
    documents = sum(one.book_proof_gallons for one in years.in_period(period))
    late = [one for one in years.in_period(period) if not period.holds(one.counts_in)]
    numbers = ", ".join(one.number for one in late)
    detail = f"booked in another month: {numbers}" if late else ""
    return check(
        "return", "Taxable lines of the months' reports are the return's documents",
        on_forms, documents, blocking=False, detail=detail,
    )  # fmt: skip
