"""The invented season's filings: each month's reports and each quarter's return, in their time."""

from datetime import date

from django.utils import timezone

from ledger.models import Premises
from ledger.posting import next_month
from reports.filing_life import file_report
from reports.month_end import filings_of
from reports.return_filing import file_return
from reports.storage_losses import quarter_of
from reports.suspended import is_due
from reports.told import Told

REPORTS_ON, RETURN_ON = 9, 12  # days of the month after


def file_month(premises: Premises, month: date, *, by: str) -> int:
    """File what is due for a closed *month* by its day; returns how many papers."""
    today = timezone.now().astimezone(premises.zone).date()
    after = next_month(month)
    reports, tax_return = (
        Told(filed_on=after.replace(day=day), filed_by=by, how="portal")
        for day in (REPORTS_ON, RETURN_ON)
    )
    count = 0
    if reports.filed_on <= today:
        for (form, source), filled in filings_of(premises, month).forms.items():
            if is_due(filled):
                file_report(premises, month, form, reports, source=source, by=by)
                count += 1
    if month == quarter_of(month)[1] and tax_return.filed_on <= today:
        file_return(premises, month, tax_return, by=by)
        count += 1
    return count
