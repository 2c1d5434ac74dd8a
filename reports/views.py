"""The pages of the filings: the months, one month, one form, one figure; and the closing."""

from datetime import date
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from distillery.models import Membership
from distillery.pages.people import member_for
from distillery.tables import paged
from ledger.errors import BadFact, NotClosable
from ledger.models import Premises
from ledger.posting import month_of
from reports import behind, filing, inventories, month_end, shown
from reports.addresses import form_page
from reports.editions import to_check
from reports.faces import CONTENT_TYPES, SUFFIXES
from reports.filed_list import papers
from reports.filing import TAX, Wanted
from reports.filling import fill_from, sources_in
from reports.forms import FORMS
from reports.month_book import MonthBook, read_book
from reports.month_list import due_day, months_of
from reports.reconciliation import last_count, reconcile
from reports.tables import BehindTable, MonthTable


def _begun(premises: Premises, month: date) -> date:
    """*month*, if it has begun and its forms and rates are known. Raises Http404 otherwise."""
    try:
        for form in FORMS.values():
            form.edition_for(month)
    except BadFact as error:
        raise Http404(str(error)) from error
    if month > month_of(premises, timezone.now()):
        raise Http404(f"{month:%B %Y} has not begun.")
    return month


def _book_of(request: HttpRequest, month: date) -> tuple[Membership, MonthBook]:
    member = member_for(request)
    return member, read_book(member.premises, _begun(member.premises, month))


@require_safe
def filings(request: HttpRequest) -> HttpResponse:
    """The months, newest first, with their state and when their reports are due."""
    premises = member_for(request).premises
    table = paged(request, MonthTable(months_of(premises, timezone.now())))
    return render(request, "reports/filings.html", {"table": table})


@require_safe
def month(request: HttpRequest, of_month: date) -> HttpResponse:
    """One month: reconciliation, tie-outs, tax, the forms; and the closing for the owner."""
    member = member_for(request)
    found = month_end.filings_of(member.premises, _begun(member.premises, of_month))
    running = month_of(member.premises, timezone.now())
    is_owner = member.role == Membership.Role.OWNER
    can_close = is_owner and shown.can_close(found.book, running)
    return render(
        request,
        "reports/month.html",
        {
            "of_month": of_month,
            "filings": found,
            "due": due_day(of_month),
            "papers": papers(found),
            "tax_address": form_page(of_month, TAX),
            "is_owner": is_owner,
            "accounts": reconcile(found.book),
            "count": last_count(found.book),
            "inventories": inventories.warnings(found.book) if can_close else [],
            "checks": shown.failed_first(found.checks, of_month),
            "can_close": can_close,
            "formats": CONTENT_TYPES,
        },
    )


@require_POST
def close(request: HttpRequest, of_month: date) -> HttpResponse:
    """Close the month, or say why not. Raises PermissionDenied for all but the owner."""
    member = member_for(request)
    if member.role != Membership.Role.OWNER:
        raise PermissionDenied("Closing a month is for the plant's owner.")
    _begun(member.premises, of_month)
    try:
        done = month_end.close_month(member.premises, of_month, by=request.user.get_username())
    except NotClosable as error:
        for reason in error.reasons:
            messages.error(request, reason)
    else:
        messages.success(request, f"{of_month:%B %Y} is closed.")
        for warning in done.warnings:
            messages.warning(request, warning)
    return redirect("reports:month", of_month)


@require_safe
def form(request: HttpRequest, of_month: date, form: str, source: str = "") -> HttpResponse:
    """A form as a ruled sheet in line order; every figure opens what is behind it."""
    member = member_for(request)
    if form != TAX and form not in FORMS:
        raise Http404("There is no such form.")
    found = month_end.filings_of(member.premises, _begun(member.premises, of_month))
    if form == TAX:
        context = {"tax": found.tax, "exports": shown.exports(of_month, TAX, "")}
        return render(request, "reports/tax.html", {"of_month": of_month, **context})
    by_source = FORMS[form].by_source
    filled = found.forms.get((form, source or ("domestic" if by_source else "")))
    if filled is None:
        raise Http404("That source was neither held nor moved.")
    return render(
        request,
        "reports/form.html",
        {
            "of_month": of_month,
            "form": filled,
            "parts": shown.parts(filled),
            "sources": shown.sources(found, form) if by_source else [],
            "checks": shown.failed_first(filing.checks_for(found, filled), of_month),
            "exports": shown.exports(of_month, form, filled.source),
            "to_check": len(to_check(filled.shape)),
            "is_owner": member.role == Membership.Role.OWNER,
        },
    )


@require_safe
def cell(request: HttpRequest, of_month: date, form: str, source: str = "") -> HttpResponse:
    """What is behind one figure: movements, or the lines that a total adds up."""
    member, book = _book_of(request, of_month)
    if form not in FORMS or (source and source not in sources_in(book)):
        raise Http404("There is no such form.")
    filled = fill_from(book, FORMS[form], source=source)
    asked = {name: request.GET.get(name, "") for name in ("part", "row", "column")}
    try:
        place = behind.place_on(filled, **asked)
    except behind.NoSuchCell as error:
        raise Http404(str(error)) from error
    context: dict[str, Any] = shown.figure_page(place, book)
    if not context["summands"]:
        counted = behind.movements(place, book)
        context["table"] = paged(request, BehindTable(counted, zone=member.premises.zone))
        context["change"] = sum(one.value for one in counted)
    return render(request, "reports/cell.html", {"of_month": of_month, **context})


@require_safe
def export(
    request: HttpRequest, of_month: date, format: str, form: str = "", source: str = ""
) -> HttpResponse:
    """A filing as a file; readers may take it too."""
    member = member_for(request)
    _begun(member.premises, of_month)
    try:
        content = filing.render(member.premises, of_month, Wanted(form, source), format)
    except BadFact as error:
        raise Http404(str(error)) from error
    name = "-".join(filter(None, [member.premises.registry, f"{of_month:%Y-%m}", form, source]))
    answer = HttpResponse(content, content_type=CONTENT_TYPES[format])
    answer["Content-Disposition"] = f'attachment; filename="{name}.{SUFFIXES[format]}"'
    return answer
