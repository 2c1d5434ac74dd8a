"""The pages of the tax return: the list, one return, filing it, adjustments, prepayment."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.db.models import Max
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from distillery.models import Membership
from distillery.pages.people import member_for
from ledger.errors import BadFact
from ledger.models import Premises
from ledger.posting import lock
from reports.faces import CONTENT_TYPES, SUFFIXES
from reports.faces.return_sheet import lines_of
from reports.filed_form import FiledForm
from reports.filed_pages import owner_of
from reports.models import Prepayment
from reports.return_filing import file_return, render_returns, told_figure, years_for
from reports.return_forms import AdjustmentForm, PrepaymentForm
from reports.return_ties import against_reports
from reports.returns import ReturnFigure, TaxYears, ceiling_of


@dataclass(frozen=True, slots=True)
class Row:
    """One return in the list: its figure, and what stands of it in a word."""

    figure: ReturnFigure
    state: str


def _today(premises: Premises) -> date:
    return timezone.now().astimezone(premises.zone).date()


def _state(figure: ReturnFigure, today: date) -> str:
    if figure.filed:
        return "filed"
    if today <= figure.period.end:
        return "running"
    return "overdue" if today > figure.period.due else "to file"


@require_safe
def returns(request: HttpRequest) -> HttpResponse:
    """The returns of the last years, newest first, and how far the year is to its ceiling."""
    member = member_for(request)
    today = _today(member.premises)
    years = years_for(member.premises, today)
    figures = [told_figure(years, period.begin, today) for period in years.returns(today)]
    rows = [Row(figure, _state(figure, today)) for figure in reversed(figures)]
    context = {
        "rows": rows,
        "ceiling": ceiling_of(years, today),
        "is_owner": member.role == Membership.Role.OWNER,
    }
    return render(request, "reports/returns.html", context)


def _one(request: HttpRequest, day: date) -> tuple[Membership, TaxYears, ReturnFigure]:
    member = member_for(request)
    today = _today(member.premises)
    years = years_for(member.premises, day)
    known = years.returns(day)
    if day > today or not known or day < known[0].begin:
        raise Http404("There is no such return.")
    return member, years, told_figure(years, day, today)


@require_safe
def tax_return(request: HttpRequest, day: date) -> HttpResponse:
    """One return in line order, with its schedules and documents."""
    member, years, figure = _one(request, day)
    context = {
        "figure": figure,
        "tie": against_reports(years, figure.period),
        "lines": lines_of(figure),
        "state": _state(figure, _today(member.premises)),
        "formats": CONTENT_TYPES,
        "is_owner": member.role == Membership.Role.OWNER,
    }
    return render(request, "reports/return.html", context)


@require_safe
def export(request: HttpRequest, day: date, format: str) -> HttpResponse:
    """A return as a file."""
    member, years, figure = _one(request, day)
    if format not in CONTENT_TYPES:
        raise Http404("There is no such format.")
    content = render_returns(years, [figure], format)
    answer = HttpResponse(content, content_type=CONTENT_TYPES[format])
    name = f"{member.premises.registry}-{figure.period.serial}.{SUFFIXES[format]}"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


@require_http_methods(["GET", "HEAD", "POST"])
def file(request: HttpRequest, day: date) -> HttpResponse:
    """Mark the return as filed."""
    owner_of(request)
    member, _, figure = _one(request, day)
    fields = FiledForm(request.POST or None, initial={"filed_by": request.user.get_username()})
    if request.method == "POST" and fields.is_valid():
        try:
            file_return(member.premises, day, fields.told(), by=request.user.get_username())
        except BadFact as error:
            fields.refuse(error)
        else:
            messages.success(request, f"Return {figure.period.serial} is marked as filed.")
            return redirect("reports:return", figure.period.begin)
    context = {"figure": figure, "fields": fields, "title": f"File {figure.period.serial}"}
    return render(
        request, "reports/return_form.html", context, status=422 if fields.errors else 200
    )


@require_http_methods(["GET", "HEAD", "POST"])
def adjust(request: HttpRequest) -> HttpResponse:
    """Enter an adjustment of Schedule A or B."""
    member = owner_of(request)
    fields = AdjustmentForm(request.POST or None)
    if request.method == "POST" and fields.is_valid():
        row = fields.save(commit=False)
        row.premises, row.recorded_by = member.premises, request.user.get_username()
        row.save()
        messages.success(request, f"Entered on the return of {row.found_on:%B %-d, %Y}.")
        return redirect("reports:returns")
    context = {"fields": fields, "title": "Adjust a return"}
    return render(
        request, "reports/return_form.html", context, status=422 if fields.errors else 200
    )


def unpaid(years: TaxYears, today: date) -> list[tuple[str, str]]:
    """Documents of unfiled periods that no prepayment covers, newest first: (number, words)."""
    paid = {number for row in years.prepayments for number in row.documents}
    begins = [one for one in years.returns(today) if years.filed_of(one) is None]
    return [
        (one.number, f"{one.number}, {one.day:%Y-%m-%d}, ${one.tax:,f}")
        for period in reversed(begins)
        for one in reversed(years.in_period(period))
        if one.number not in paid and one.tax > 0
    ]


def _prepaid(years: TaxYears, chosen: list[str]) -> Any:
    return sum(one.tax for one in years.documents if one.number in chosen)


@require_http_methods(["GET", "HEAD", "POST"])
def prepay(request: HttpRequest) -> HttpResponse:
    """Record a prepayment return (27 CFR 19.233) for the documents it names."""
    member = owner_of(request)
    today = _today(member.premises)
    years = years_for(member.premises, today)
    fields = PrepaymentForm(request.POST or None, documents=unpaid(years, today))
    if request.method == "POST" and fields.is_valid():
        row = _keep_prepayment(member.premises, years, fields.cleaned_data, request)
        messages.success(request, f"{row.serial} pays ${row.tax:,f}. Note it on each record.")
        return redirect("reports:returns")
    context = {"fields": fields, "title": "Prepayment return"}
    return render(
        request, "reports/return_form.html", context, status=422 if fields.errors else 200
    )


def _keep_prepayment(
    premises: Premises, years: TaxYears, data: dict[str, Any], request: HttpRequest
) -> Prepayment:
    year = data["paid_at"].astimezone(premises.zone).year
    with transaction.atomic():
        locked = lock(premises)
        rows = Prepayment.objects.filter(premises=locked, year=year)
        last = rows.aggregate(Max("number"))["number__max"] or 0
        return Prepayment.objects.create(
            premises=locked, year=year, number=last + 1, paid_at=data["paid_at"],
            documents=data["documents"], tax=_prepaid(years, data["documents"]),
            confirmation=data["confirmation"], recorded_by=request.user.get_username(),
        )  # fmt: skip
