"""The trace: a box for any code, the page of one lot both ways, its file and its recall sheet."""

from collections import defaultdict
from dataclasses import replace
from decimal import Decimal
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from distillery.pages.people import lot_for, member_for
from distillery.papers.pdf import render as render_pdf
from distillery.papers.recall_sheet import recall_sheet
from distillery.tracing import told
from distillery.tracing.finding import Choice, UnknownCode, choices_for
from distillery.tracing.lists import table_of
from distillery.tracing.picture import picture_of
from distillery.tracing.story import Story
from ledger.models import Premises


class CodeForm(forms.Form):
    """Any code that stands on something in the plant."""

    code = forms.CharField(max_length=100)


class WhatForm(forms.Form):
    """Which part of the trace is asked for; what makes no sense is left out."""

    direction = forms.ChoiceField(choices=[(way, way) for way in told.WAYS], required=False)
    all = forms.BooleanField(required=False)
    case = forms.RegexField(r"^[A-Za-z]{0,4}[0-9]{1,7}R?$", required=False)


@require_safe
def search(request: HttpRequest) -> HttpResponse:
    """The box; straight on to the lot where the code means one, a choice where several."""
    member = member_for(request)
    context: dict[str, Any] = {"code": request.GET.get("code", "")}
    if "code" in request.GET:
        try:
            found = choices_for(member.premises, _code(request))
        except UnknownCode as unknown:
            context |= {"wrong": str(unknown), "near": unknown.near}
        else:
            if len(found) == 1:
                return redirect(address_of(found[0]))
            context["choices"] = [(address_of(one), one) for one in found]
    return render(request, "trace/search.html", context)


def address_of(choice: Choice) -> str:
    """The page of what a code means; of a case, the page of its lot that tells of the case."""
    page = reverse("trace-lot", args=[choice.lot.code])
    return f"{page}?{urlencode({'case': choice.case})}" if choice.case else page


def _code(request: HttpRequest) -> str:
    form = CodeForm(request.GET)
    # What is too long is no code; its beginning says so as well.
    return form.cleaned_data["code"] if form.is_valid() else request.GET["code"].strip()[:100]


@require_safe
def lot(request: HttpRequest, code: str) -> HttpResponse:
    """Both directions as a picture and as lists, largest share first."""
    story, _ = _story(request, code)
    tables = [
        {"title": told.TITLES[part], "part": part, "table": table_of(request, part, rows)}
        for part, rows in _parts(story).items()
    ]
    return render(
        request,
        "trace/lot.html",
        {
            "lot": story.lot,
            "picture": picture_of(story),
            "tables": tables,
            "rests": [(way, told.rest_of(story, way)) for way in told.WAYS],
            "is_whole": story.is_whole,
            "case_lines": told.case_lines(story),
        },
    )


@require_safe
def listing(request: HttpRequest, code: str) -> HttpResponse:
    """The same rows as a CSV file."""
    story, ways = _story(request, code)
    story = replace(story, has_all_endings=story.is_whole)
    answer = HttpResponse(told.as_csv(story, ways), content_type="text/csv; charset=utf-8")
    return _named(answer, f"trace-{code}.csv")


@require_safe
def recall(request: HttpRequest, code: str) -> HttpResponse:
    """The recall sheet: one page with what went where."""
    story, _ = _story(request, code)
    answer = HttpResponse(render_pdf([recall_sheet(story)]), content_type="application/pdf")
    return _named(answer, f"recall-{code}.pdf")


def _named(answer: HttpResponse, name: str) -> HttpResponse:
    plain = "".join(one if one.isalnum() or one in "._-" else "-" for one in name)
    answer["Content-Disposition"] = f'attachment; filename="{plain}"'
    return answer


def _story(request: HttpRequest, code: str) -> tuple[Story, tuple[told.Way, ...]]:
    """The trace that the address asks for. Raises Http404 for a lot of another plant."""
    premises: Premises = member_for(request).premises
    form = WhatForm(request.GET)
    form.is_valid()
    way = form.cleaned_data.get("direction")
    if not code.isprintable():
        raise Http404("No code has a mark that cannot be printed.")
    found = lot_for(premises, code)
    found.premises = premises
    cleaned = form.cleaned_data
    story = Story(found, is_whole=cleaned.get("all", False), case=cleaned.get("case", ""))
    return story, (way,) if way else told.WAYS


def _parts(story: Story) -> dict[str, list[told.Row]]:
    parts: dict[str, list[told.Row]] = defaultdict(list)
    for row in told.rows_of(story):
        parts[row["part"]].append(_shown(row))
    return {part: parts[part] for part in told.TITLES if part in parts}


def _shown(row: told.Row) -> told.Row:
    """A row with the words of the page."""
    return {
        **row,
        "share": told.percent(Decimal(row["share_percent"]) / 100),
        "much": told.much_of(row),
        "document": row.get("document") or f"№ {row.get('entry', '')}",
        "traced": f"{row['proof_gallons_traced']} PG" if "proof_gallons_traced" in row else "",
        "consignee": _whom(row),
    }


def _whom(row: told.Row) -> str:
    whom = ", ".join(one for one in (row.get("consignee"), row.get("address")) if one)
    return whom or "not on record"
