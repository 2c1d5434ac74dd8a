"""The book: every entry in a list, and one entry with all that it did."""

from datetime import date, datetime, time, timedelta
from typing import Any

from django import forms
from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from distillery.devices import by_whom, naming
from distillery.lateness import late_words
from distillery.models import Device, KeptSlip, Membership
from distillery.operations import operations
from distillery.pages import sentences, told
from distillery.pages.mending import acts_on
from distillery.pages.people import entry_for, member_for
from distillery.papers.gauge_record import has_gauge_record
from distillery.people import may_record
from distillery.tables import SHOWN, EntryTable, operation_title, paged, states_of
from ledger.accounts import ACCOUNTS
from ledger.models import Entry, Lot, Movement, Premises


class BookFilter(forms.Form):
    """What the address asks of the book; a part that makes no sense is left out."""

    day = forms.DateField(required=False)
    operation = forms.CharField(required=False)
    account = forms.CharField(required=False)
    lot = forms.CharField(required=False)
    by = forms.CharField(required=False)
    tablet = forms.CharField(required=False)


@require_safe
def book(request: HttpRequest) -> HttpResponse:
    """Entries, newest first, by day, operation, account, lot, person and tablet."""
    member = member_for(request)
    asked = BookFilter(request.GET)
    asked.is_valid()
    conditions: dict[str, Any] = {name: asked.cleaned_data.get(name) for name in asked.fields}
    rows = entries(member.premises, **conditions)
    table = paged(request, EntryTable(_with_movements(rows), zone=member.premises.zone))
    return render(
        request,
        "book/book.html",
        {
            "table": table,
            "asked": {name: request.GET.get(name, "") for name in asked.fields},
            "is_filtered": any(request.GET.get(name) for name in asked.fields),
            "operations": operations().values(),
            "accounts": ACCOUNTS.values(),
            "tablets": Device.objects.filter(premises=member.premises),
        },
    )


def entries(
    premises: Premises,
    *,
    day: date | None = None,
    operation: str = "",
    account: str = "",
    lot: str = "",
    by: str = "",
    tablet: str = "",
) -> "QuerySet[Entry]":
    """The plant's entries that fit; an empty condition is none."""
    rows = Entry.objects.filter(premises=premises)
    if day:
        rows = rows.filter(happened_at__range=_bounds(day, premises))
    if operation:
        rows = rows.filter(operation=operation)
    if account:
        side = Q(from_account=account) | Q(to_account=account)
        rows = rows.filter(Exists(Movement.objects.filter(side, entry=OuterRef("pk"))))
    if lot:
        found = Lot.objects.filter(premises=premises, code=lot)
        out = Movement.objects.filter(from_lot__in=found).values("entry")
        into = Movement.objects.filter(to_lot__in=found).values("entry")
        rows = rows.filter(Q(pk__in=out) | Q(pk__in=into))
    if by:
        rows = rows.filter(by=by)
    if tablet:  # it is sealed in the text of the record and nowhere else
        rows = rows.filter(form__contains=naming(tablet))
    return rows


def _bounds(day: date, premises: Premises) -> tuple[datetime, datetime]:
    start = datetime.combine(day, time.min, premises.zone)
    next_day = datetime.combine(day + timedelta(days=1), time.min, premises.zone)
    return start, next_day - timedelta(microseconds=1)


def _with_movements(rows: "QuerySet[Entry]") -> "QuerySet[Entry]":
    first = Movement.objects.filter(leg__lte=SHOWN + 1).order_by("leg")
    first = first.select_related(*sentences.RELATED)
    return (
        rows.select_related("premises", "reverses", "corrects", "reversed_by")
        .prefetch_related(Prefetch("movements", queryset=first, to_attr="first_movements"))
        .order_by("-number")
    )


@require_safe
def entry(request: HttpRequest, number: int) -> HttpResponse:
    """One entry: what moved, the form as filled in, who, why, its seal, and what came of it."""
    member = member_for(request)
    found = entry_for(member.premises, number)
    return render(
        request,
        "book/entry.html",
        {
            "entry": found,
            "title": operation_title(found.operation),
            "states": states_of(found),
            "movements": sentences.of_entry(found),
            "slips": KeptSlip.of_entry(found),
            "has_gauge_record": has_gauge_record(found),
            "filled_in": told.of_text(found.form),
            "corrected_by": found.corrected_by.order_by("number"),
            "acts": acts_on(found, member),
            "late": late_words(found),
            "by_whom": by_whom(found),
            "again": _again(found, member),
        },
    )


def _again(entry: Entry, member: Membership) -> Any:
    """The operation of *entry*, to record one more of it; None where this person may not."""
    known = operations().get(entry.operation)
    if entry.reverses_id or entry.corrects_id:
        return None
    return known if known and may_record(member.role, known) else None
