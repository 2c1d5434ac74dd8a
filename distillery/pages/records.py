"""The record set: the list of records, one record of some days, its files, one archive."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_safe

from distillery.pages.people import member_for
from distillery.papers.record_bundle import CONTENT_TYPES, bundle, file_of
from distillery.records import kinds
from distillery.records.base import Cell, Column, Kind, Sheet
from distillery.records.shown import blank_sentence, days_of, file_name, text
from distillery.records.signing import statement
from distillery.records.span import Span
from distillery.records.tables import RowTable, table_of
from ledger.models import Premises

SHEETS = 20  # on one page


class DaysForm(forms.Form):
    """The first and the last day; this month up to today where nothing sound is given."""

    first = forms.DateField(required=False)
    last = forms.DateField(required=False)

    def clean(self) -> dict[str, Any]:
        """The first day comes first."""
        data: dict[str, Any] = super().clean() or {}
        first, last = data.get("first"), data.get("last")
        if first and last and last < first:
            raise ValidationError("The last day comes before the first. Give them in order.")
        return data


@dataclass(frozen=True, slots=True)
class Drawn:
    """A sheet ready for the page."""

    facts: tuple[tuple[str, str], ...]
    table: RowTable | None
    blank: str


def span_asked(request: HttpRequest, premises: Premises) -> tuple[Span, DaysForm]:
    """The days that the address asks for, and the form that says what was wrong with it."""
    form = DaysForm(request.GET)
    today = timezone.now().astimezone(premises.zone).date()
    data = form.cleaned_data if form.is_valid() else {}
    last: date = data.get("last") or max(today, data.get("first") or today)
    first: date = data.get("first") or last.replace(day=1)
    return Span(premises, first, last), form


def days_asked(span: Span) -> str:
    """The days as part of an address."""
    return urlencode({"first": f"{span.first:%Y-%m-%d}", "last": f"{span.last:%Y-%m-%d}"})


def kind_or_404(slug: str) -> Kind:
    """The record of that name. Raises Http404."""
    found = kinds().get(slug)
    if found is None:
        raise Http404("No such record.")
    return found


@require_safe
def records(request: HttpRequest) -> HttpResponse:
    """The list of records with a day range."""
    member = member_for(request)
    span, form = span_asked(request, member.premises)
    context = {"span": span, "form": form, "days": days_of(span), "formats": CONTENT_TYPES,
               "query": days_asked(span)}  # fmt: skip
    return render(request, "records/records.html", {**context, "kinds": kinds().values()})


@require_safe
def record_of(request: HttpRequest, kind: str) -> HttpResponse:
    """One record of the days asked for, sheet by sheet."""
    member = member_for(request)
    found = kind_or_404(kind)
    span, form = span_asked(request, member.premises)
    page = Paginator(found.sheets(span), SHEETS).get_page(request.GET.get("page"))
    drawn = [_drawn(request, found, sheet, place) for place, sheet in enumerate(page)]
    return render(
        request,
        "records/record.html",
        {
            "kind": found, "span": span, "form": form, "days": days_of(span), "sheets": drawn,
            "page": page, "formats": CONTENT_TYPES, "query": days_asked(span),
            "statement": statement(found.signed_as) if found.signed_as else "",
        },
    )  # fmt: skip


def _drawn(request: HttpRequest, kind: Kind, sheet: Sheet, place: int) -> Drawn:
    table, blank = table_of(request, kind, sheet, place)
    return Drawn(tuple(map(_fact, sheet.facts)), table, blank_sentence(blank))


def _fact(pair: tuple[Column, Cell]) -> tuple[str, str]:
    return pair[0].head, text(pair[1])


@require_safe
def record_file(request: HttpRequest, kind: str, format: str) -> HttpResponse:
    """One record as PDF, CSV or JSON. 404 for another format."""
    member = member_for(request)
    found = kind_or_404(kind)
    if format not in CONTENT_TYPES:
        raise Http404("No such format.")
    span, _ = span_asked(request, member.premises)
    content = file_of(found, span, format)
    return _answer(content, file_name(found, span, format), CONTENT_TYPES[format])


@require_safe
def record_bundle(request: HttpRequest) -> HttpResponse:
    """Every record of the days asked for in one zip archive."""
    member = member_for(request)
    span, _ = span_asked(request, member.premises)
    name = f"records-{span.first:%Y%m%d}-{span.last:%Y%m%d}.zip"
    return _answer(bundle(kinds().values(), span), name, "application/zip")


def _answer(content: bytes, name: str, content_type: str) -> HttpResponse:
    answer = HttpResponse(content, content_type=content_type)
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer
