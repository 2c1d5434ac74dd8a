"""The pages of what was filed: marking, the paper as told, what to amend."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from distillery.models import Membership
from distillery.pages.people import member_for
from ledger.errors import BadFact
from reports import amending, shown
from reports.addresses import file_address, form_address
from reports.filed_form import FiledForm
from reports.filing_life import file_report, latest_of
from reports.forms import FORMS
from reports.kept import from_text
from reports.models import Filed
from reports.month_end import filings_of


def owner_of(request: HttpRequest) -> Membership:
    """The member, if it is the owner. Raises PermissionDenied otherwise."""
    member = member_for(request)
    if member.role != Membership.Role.OWNER:
        raise PermissionDenied("Filing is for the plant's owner.")
    return member


@require_http_methods(["GET", "HEAD", "POST"])
def file(request: HttpRequest, of_month: Any, form: str, source: str = "") -> HttpResponse:
    """Mark one report of a closed month as filed, or its amended report."""
    member = owner_of(request)
    premises = member.premises
    filled = None
    if form in FORMS:
        source = source or ("domestic" if FORMS[form].by_source else "")
        filled = filings_of(premises, of_month).forms.get((form, source))
    if filled is None:
        raise Http404("There is no such report.")
    fields = FiledForm(request.POST or None, initial={"filed_by": request.user.get_username()})
    if request.method == "POST" and fields.is_valid():
        try:
            kept = file_report(
                premises, of_month, form, fields.told(), source=source,
                by=request.user.get_username(),
            )  # fmt: skip
        except BadFact as error:
            fields.refuse(error)
        else:
            messages.success(request, f"{filled.number} of {of_month:%B %Y} is marked as filed.")
            return redirect("reports:filed", kept.pk)
    last = latest_of(premises, of_month, form, source)
    context = {
        "of_month": of_month,
        "form": filled,
        "form_address": form_address(filled),
        "fields": fields,
        "changes": amending.changes(from_text(last.content)[0], filled) if last else (),
    }
    return render(request, "reports/file.html", context, status=200 if not fields.errors else 422)


def _of(request: HttpRequest, pk: int) -> Filed:
    return get_object_or_404(Filed, pk=pk, premises=member_for(request).premises)


@require_safe
def filed(request: HttpRequest, pk: int) -> HttpResponse:
    """One report as it was filed, and how the book differs from it now."""
    member, row = member_for(request), _of(request, pk)
    if row.form not in FORMS:  # a return or a State's worksheet: its paper tells it whole
        return redirect("reports:filed-paper", row.pk)
    form, _ = from_text(row.content)
    last = latest_of(row.premises, row.begin, row.form, row.source)
    now = filings_of(row.premises, row.begin).forms.get((row.form, row.source))
    others = Filed.objects.filter(
        premises=row.premises, begin=row.begin, form=row.form, source=row.source
    ).exclude(pk=row.pk)
    context = {
        "filed": row,
        "form": form,
        "parts": shown.parts(form, linked=False),
        "others": others,
        "is_latest": last == row,
        "changes": amending.changes(form, now) if now else (),
        "can_file": member.role == Membership.Role.OWNER,
        "file_address": file_address(row.begin, row.form, row.source),
    }
    return render(request, "reports/filed.html", context)


@require_safe
def paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The PDF as it was filed, byte for byte."""
    row = _of(request, pk)
    version = f"-amended-{row.version}" if row.is_amended else ""
    parts = [row.premises.registry, f"{row.begin:%Y-%m}", row.form, row.source]
    name = "-".join(filter(None, parts))
    answer = HttpResponse(bytes(row.pdf), content_type="application/pdf")
    answer["Content-Disposition"] = f'attachment; filename="{name}{version}-filed.pdf"'
    return answer


@require_safe
def to_amend(request: HttpRequest) -> HttpResponse:
    """Every filed report that the book has moved since."""
    found = amending.to_amend(member_for(request).premises)
    return render(request, "reports/amend.html", {"found": found})
