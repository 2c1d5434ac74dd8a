"""Checking the marked lines of a form against the official one: once, with name and date."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from distillery.pages.people import member_for
from ledger.models import Premises
from ledger.posting import month_of
from reports.editions import read_editions, to_check
from reports.filed_pages import owner_of
from reports.forms import FORMS
from reports.forms.shape import Edition, Form, Line, Part
from reports.models import CheckedLine

NUMBER, CAPTION = 10, 120


class CheckedForm(forms.Form):
    """Who compared the lines, and when."""

    checked_by = forms.CharField(
        label="Checked by", max_length=150,
        error_messages={"required": "Say who compared the lines."},
    )  # fmt: skip
    checked_on = forms.DateField(
        label="Checked on", widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"required": "Give the day.", "invalid": "Give the day like 2026-04-10."},
    )  # fmt: skip


@dataclass(slots=True)
class Row:
    """One marked line with what was typed: its number and caption on the official form."""

    name: str
    part: Part
    line: Line
    printed: str
    caption: str
    is_same: bool
    wrong: str = ""


def _rows(edition: Edition, typed: Any) -> list[Row]:
    found = []
    for number, (part, line) in enumerate(to_check(edition.parts)):
        name = f"line-{number}"
        printed = typed.get(f"{name}-number", line.printed or line.number).strip()
        caption = typed.get(f"{name}-caption", line.caption).strip()
        row = Row(name, part, line, printed, caption, f"{name}-same" in typed)
        if row.is_same and not (printed and caption):
            row.wrong = "Give the number and the caption as the form prints them."
        elif len(printed) > NUMBER or len(caption) > CAPTION:
            row.wrong = f"Use {NUMBER} characters for the number, {CAPTION} for the caption."
        found.append(row)
    return found


def _keep(
    premises: Premises, form: Form, edition: Edition, rows: list[Row], data: dict[str, Any]
) -> int:
    kept = [
        CheckedLine(
            premises=premises, form=form.slug, edition=edition.name, part=row.part.part,
            line=row.line.number, printed=row.printed, caption=row.caption, **data,
        )
        for row in rows
        if row.is_same
    ]  # fmt: skip
    CheckedLine.objects.bulk_create(kept)
    return len(kept)


@require_http_methods(["GET", "HEAD", "POST"])
def check(request: HttpRequest, form: str) -> HttpResponse:
    """The lines of *form* that were not read in the official one, each to be compared."""
    owner_of(request)
    member = member_for(request)
    if form not in FORMS:
        raise Http404("There is no such form.")
    shape = FORMS[form]
    month: date = month_of(member.premises, timezone.now())
    edition = read_editions(member.premises).edition_for(shape, month)
    rows = _rows(edition, request.POST)
    fields = CheckedForm(request.POST or None, initial={"checked_by": request.user.get_username()})
    is_none = request.method == "POST" and not any(row.is_same for row in rows)
    if is_none:
        messages.error(request, "Tick each line you compared with the official form.")
    elif request.method == "POST" and fields.is_valid() and not any(row.wrong for row in rows):
        with transaction.atomic():
            count = _keep(member.premises, shape, edition, rows, fields.cleaned_data)
        messages.success(request, f"{count} line{'s' * (count != 1)} checked.")
        return redirect("reports:check-form", form)
    done = CheckedLine.objects.filter(
        premises=member.premises, form=form, edition=edition.name
    ).order_by("-pk")  # fmt: skip
    context = {"form": shape, "edition": edition, "rows": rows, "fields": fields, "done": done}
    wrong = request.method == "POST"
    return render(request, "reports/check_form.html", context, status=422 if wrong else 200)
