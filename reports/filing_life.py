"""The life of a report: closed, filed, amended. What was filed is kept as it was told.

Open months are not filed, and nothing is filed twice without a change: a later correction makes
an amended report, complete and marked (official help of all three forms).
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from hashlib import sha256

from django.db import transaction
from django.utils import timezone

from ledger.errors import BadFact
from ledger.models import Period, Premises
from ledger.posting import lock, next_month
from reports.amending import changes
from reports.checks import Check
from reports.faces import pdf
from reports.faces.sheet import sheet_of_form
from reports.filing import checks_for
from reports.filled import FilledForm
from reports.kept import from_text, to_text
from reports.models import Filed
from reports.month_book import month_before
from reports.month_end import Filings, filings_of
from reports.suspended import is_due
from reports.told import Told

AMENDED = "Amended report"


def paper(form: FilledForm, checks: tuple[Check, ...]) -> bytes:
    """The PDF of a filed form; the same figures give the same bytes."""
    return pdf.render([sheet_of_form(form, checks)])


def paper_again(filed: Filed) -> bytes:
    """The PDF drawn again from the kept figures."""
    return paper(*from_text(filed.content))


def latest_of(premises: Premises, month: date, form: str, source: str = "") -> Filed | None:
    """The newest version filed of one report."""
    rows = Filed.objects.filter(premises=premises, begin=month, form=form, source=source)
    return rows.order_by("-version").first()


def _check_day(told: Told, premises: Premises, month: date, now: datetime) -> None:
    today = now.astimezone(premises.zone).date()
    if told.filed_on > today:
        raise BadFact("That day has not come yet.", field="filed_on")
    if told.filed_on < next_month(month):
        raise BadFact(
            f"A report of {month:%B %Y} is filed after the month has ended.", field="filed_on"
        )
    if not told.filed_by.strip():
        raise BadFact("Say who filed it.", field="filed_by")


def _check_order(premises: Premises, month: date, period: Period | None) -> None:
    if period is None or period.state == Period.State.OPEN:
        raise BadFact(f"Close {month:%B %Y} first; only a closed month is filed.")
    first = Period.objects.filter(premises=premises).order_by("month").first()
    before = month_before(month)
    earlier = Period.objects.filter(premises=premises, month=before).first()
    if first and first.month <= before and (not earlier or earlier.state == Period.State.OPEN):
        raise BadFact(f"Close {before:%B %Y} first.")


def next_version(filings: Filings, form: str, source: str) -> tuple[int, FilledForm]:
    """The version to file now and its form, marked. Raises BadFact when nothing has changed."""
    filled = filings.forms.get((form, source))
    if filled is None:
        raise BadFact("That report is not due for this month.")
    last = latest_of(filings.book.premises, filings.book.month, form, source)
    if last is None:
        return 0, replace(filled, status="filed")
    if not changes(from_text(last.content)[0], filled):
        raise BadFact(
            f"{filled.number} of {filings.book.month:%B %Y} is filed, and nothing has changed."
        )
    title = f"{AMENDED} · {filled.title}"
    return last.version + 1, replace(filled, status=AMENDED.lower(), title=title)


def file_report(
    premises: Premises,
    month: date,
    form: str,
    told: Told,
    *,
    source: str = "",
    by: str,
    now: datetime | None = None,
) -> Filed:
    """Mark one report as filed and keep it as it was told.

    The month becomes filed once each of its reports is. Raises BadFact with the reason, and
    then nothing has changed.
    """
    now = now or timezone.now()
    with transaction.atomic():
        locked = lock(premises)
        period = Period.objects.filter(premises=locked, month=month).first()
        _check_order(locked, month, period)
        _check_day(told, locked, month, now)
        filings = filings_of(locked, month)
        version, filled = next_version(filings, form, source)
        kept = _keep(locked, filled, checks_for(filings, filled), version, told, by=by, now=now)
        if period and period.state == Period.State.CLOSED and not unfiled(filings):
            period.state = Period.State.FILED
            period.save(update_fields=["state"])
    return kept


def _keep(
    premises: Premises, filled: FilledForm, checks: Sequence[Check], version: int, told: Told,
    *, by: str, now: datetime,
) -> Filed:  # fmt: skip
    content = to_text(filled, checks)
    paper_bytes = paper(*from_text(content))
    number, seal = filled.through
    return Filed.objects.create(
        premises=premises, form=filled.slug, source=filled.source, begin=filled.month,
        end=next_month(filled.month) - timedelta(days=1), version=version,
        content=content, pdf=paper_bytes,
        pdf_hash=sha256(paper_bytes).hexdigest(), filed_on=told.filed_on,
        filed_by=told.filed_by, how=told.how, confirmation=told.confirmation, note=told.note,
        recorded_at=now, recorded_by=by, through_entry=number, seal=seal,
    )  # fmt: skip


def unfiled(filings: Filings) -> list[FilledForm]:
    """The month's reports that are due and have not been filed."""
    book = filings.book
    rows = Filed.objects.filter(premises=book.premises, begin=book.month)
    done = set(rows.values_list("form", "source"))
    return [form for key, form in filings.forms.items() if key not in done and is_due(form)]
