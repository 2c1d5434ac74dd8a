"""What an act of a closed month does to the reports, by either way of booking it.

Each way is posted and undone again inside one transaction, so that what is shown is what the
book itself would say, and nothing is left.
"""

from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import uuid4

from django.db import transaction

from distillery.recording import Record, Refused, post, prepare, preview
from ledger.models import Premises
from ledger.posting import LATE_AMEND, LATE_OPEN, month_of, next_month
from reports.amending import Change, changes
from reports.filled import FilledForm
from reports.month_end import Filings, filings_of

NO_REASON = "to be told"  # a late record needs a reason; the rehearsal is undone before it counts


@dataclass(frozen=True, slots=True)
class FormChange:
    """The figures of one report that would differ; ``below_zero`` are those no form takes."""

    form: FilledForm
    changes: tuple[Change, ...]
    below_zero: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class TaxChange:
    """The tax figure of a month, before and after."""

    month: date
    was: Any
    now: Any


@dataclass(frozen=True, slots=True)
class Choice:
    """One way of booking: the reports it changes, or why it cannot be."""

    late: str
    month: date
    forms: tuple[FormChange, ...] = ()
    taxes: tuple[TaxChange, ...] = ()
    refused: str = ""

    @property
    def below_zero(self) -> list[tuple[FilledForm, Change]]:
        """Every figure that would be below zero, with its report."""
        return [(one.form, change) for one in self.forms for change in one.below_zero]


def choices_for(data: dict[str, Any], *, premises: Premises, user: Any) -> list[Choice]:
    """Both ways of booking the record *data*. Raises Refused when it cannot be taken at all."""
    record = _prepared(data, LATE_AMEND, premises=premises, user=user)
    moments = [record.operation.happened_at(record.fields)]
    moments += [record.instead_of.happened_at] if record.instead_of else []
    closed_month = month_of(premises, min(moments))
    closed = premises.closed_through
    if closed is None or closed_month > closed:
        raise Refused({"__all__": ["That month is open: there is nothing to choose."]})
    months = (closed_month, next_month(closed))
    before = {month: filings_of(premises, month) for month in months}
    booked = {LATE_AMEND: closed_month, LATE_OPEN: months[1]}
    return [
        _choice(late, booked[late], data, before, premises=premises, user=user) for late in booked
    ]


def _prepared(data: dict[str, Any], late: str, *, premises: Premises, user: Any) -> Record:
    told = {**data, "late": late, "key": f"~{uuid4()}", "reason": data.get("reason") or NO_REASON}
    return prepare(told, premises=premises, user=user)


def _choice(
    late: str, month: date, data: dict[str, Any], before: dict[date, Filings],
    *, premises: Premises, user: Any,
) -> Choice:  # fmt: skip
    try:
        after = _rehearsed(late, data, list(before), premises=premises, user=user)
    except Refused as refusal:
        return Choice(late, month, refused=str(refusal))
    pairs = [(before[day], after[day]) for day in before]
    return Choice(
        late, month,
        tuple(one for was, now in pairs for one in _forms(was, now)),
        tuple(
            TaxChange(now.book.month, was.tax.tax, now.tax.tax)
            for was, now in pairs if was.tax.tax != now.tax.tax
        ),
    )  # fmt: skip


def _rehearsed(
    late: str, data: dict[str, Any], months: list[date], *, premises: Premises, user: Any
) -> dict[date, Filings]:
    """The filings of *months* with the record posted so; it is undone before this returns."""
    with transaction.atomic():
        record = _prepared(data, late, premises=premises, user=user)
        asked = tuple(question.code for question in preview(record).questions)
        again = {**data, "confirm": [*data.get("confirm", []), *asked]}
        post(_prepared(again, late, premises=premises, user=user))
        fresh = Premises.objects.get(pk=premises.pk)
        after = {month: filings_of(fresh, month) for month in months}
        transaction.set_rollback(True)
    return after


def _forms(was: Filings, now: Filings) -> list[FormChange]:
    """Every report with figures that differ; one that is new counts from an empty one."""
    found = []
    for key, form in now.forms.items():
        old = was.forms.get(key)
        differing = changes(old, form) if old else ()
        if differing:
            low = tuple(one for one in differing if one.now < 0 <= one.filed)
            found.append(FormChange(form, differing, low))
    return found


def advice(choices: list[Choice]) -> str:
    """Which way to take where only one of them can be filed; "" where both can."""
    ways = {one.late: one for one in choices}
    amend, now = ways[LATE_AMEND], ways[LATE_OPEN]
    if now.below_zero and not amend.below_zero and not amend.refused:
        form, change = now.below_zero[0]
        return (
            f"Amend {amend.month:%B %Y}: booked in {now.month:%B %Y}, {form.number} line "
            f"{change.line} ({change.column}) would be below zero, which no form takes."
        )
    if now.refused and not amend.refused:
        return f"Amend {amend.month:%B %Y}: it cannot be booked in {now.month:%B %Y}."
    if amend.below_zero and not now.below_zero and not now.refused:
        return f"Book it in {now.month:%B %Y}: amended, a figure would be below zero."
    return ""
