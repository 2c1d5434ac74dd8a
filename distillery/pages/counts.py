"""Counts: which are due, the open one walked place by place, looked over, and its sheet."""

from datetime import date
from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from distillery.consequences import consequence
from distillery.counts import figure
from distillery.inventories_due import due
from distillery.models import Membership, OpenCount
from distillery.open_counts import Stop, record_of, start, walk, wanted
from distillery.operations.count import STATEMENT
from distillery.pages.people import member_for, recorder_for
from distillery.pages.sentences import account_title, title_of
from distillery.papers.count_sheet import count_sheet
from distillery.papers.pdf import render as render_pdf
from ledger.models import Premises

MOST = 50  # past counts shown


class StartForm(forms.Form):
    """A new count: its kind, the day it stands for, and whether the book's figures are hidden."""

    kind = forms.ChoiceField(choices=OpenCount.Kind.choices)
    as_of = forms.DateField(error_messages={"invalid": "Give the day like 2026-06-30."})
    is_blind = forms.BooleanField(required=False)


def count_for(premises: Premises, number: int) -> OpenCount:
    """The plant's count of that number. Raises Http404."""
    rows = OpenCount.objects.filter(premises=premises, number=number)
    found = rows.select_related("premises", "closed_by").first()
    if found is None:
        raise Http404("No such count.")
    return found


@require_http_methods(["GET", "HEAD", "POST"])
def counts(request: HttpRequest) -> HttpResponse:
    """Open and past counts, and what is due; posted, a new one is opened."""
    member = recorder_for(request) if request.method == "POST" else member_for(request)
    now = timezone.now()
    today = now.astimezone(member.premises.zone).date()
    form = StartForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        count = start(
            member.premises, by=request.user.get_username(), now=now, **form.cleaned_data
        )  # fmt: skip
        return redirect("count", number=count.number)
    return render(request, "counts/counts.html", _listed(member, form, today))


def _listed(member: Membership, form: StartForm, today: date) -> dict[str, Any]:
    rows = list(
        OpenCount.objects.filter(premises=member.premises).select_related("closed_by")[:MOST]
    )
    wanting = due(member.premises, today)
    return {
        "open": [row for row in rows if row.is_open],
        "past": [row for row in rows if not row.is_open],
        "due": wanting,
        "kinds": OpenCount.Kind.choices,
        "form": form,
        "day": wanting[0].day if wanting else today,
        "kind": wanting[0].kind if wanting else OpenCount.Kind.OTHER,
    }


@require_safe
def count(request: HttpRequest, number: int) -> HttpResponse:
    """The walk: every place, counted or to count."""
    found = count_for(member_for(request).premises, number)
    stops = [_told(found, stop) for stop in walk(found, timezone.now())] if found.is_open else []
    left = sum(not stop["is_done"] for stop in stops)
    context = {
        "count": found, "stops": stops, "left": left, "done": len(stops) - left,
        "next": next((stop for stop in stops if not stop["is_done"]), None),
    }  # fmt: skip
    return render(request, "counts/walk.html", context)


def _told(count: OpenCount, stop: Stop) -> dict[str, Any]:
    """One place as text; blind, the book's figure stays away until something was found."""
    held, one = stop.held, stop.counted
    is_shown = one is not None or not count.is_blind
    has = (held.amount, held.wine_gallons, held.proof_gallons)
    return {
        "vessel": held.vessel.code,
        "title": title_of(held.vessel),
        "lot": held.lot,
        "account": account_title(held.account) if held.account else "",
        "book": figure(held, one.book if one else has) if is_shown and held.account else "",
        "found": figure(held, one.found) if one else "",
        "consequence": consequence(one) if one else "",
        "agrees": one is not None and not any(one.difference),
        "problem": stop.problem,
        "is_done": stop.is_done,
        "place": stop.place,
    }


@require_safe
def check(request: HttpRequest, number: int) -> HttpResponse:
    """Every difference with its consequence, what was left out, and the signature."""
    member = member_for(request)
    found = count_for(member.premises, number)
    stops = [_told(found, stop) for stop in walk(found, timezone.now())] if found.is_open else []
    done = [stop for stop in stops if stop["is_done"]]
    now = timezone.now().astimezone(member.premises.zone)
    record = record_of(found, [stop["place"] for stop in done])
    return render(
        request,
        "counts/check.html",
        {
            "count": found,
            "differing": [stop for stop in done if not stop["agrees"]],
            "agreeing": [stop for stop in done if stop["agrees"]],
            "left": [stop for stop in stops if not stop["is_done"]],
            "carried": carried(record),
            "key": f"count-{found.number}-{now:%Y%m%d%H%M%S}",
            "at": f"{now:%Y-%m-%dT%H:%M}",
            "statement": STATEMENT,
            "is_signed": found.kind != OpenCount.Kind.OTHER,
            "can_sign": member.role != Membership.Role.READER and bool(done),
            "counter": member.user.get_full_name() or member.user.get_username(),
        },
    )


def carried(record: dict[str, Any]) -> list[tuple[str, str]]:
    """A record's fields as hidden boxes, rows by their number."""
    found = [(name, str(value)) for name, value in record.items() if name != "rows"]
    for index, row in enumerate(record["rows"]):
        for name, value in row.items():
            found.append((f"rows-{index}-{name}", "on" if value is True else str(value)))
    return found


@require_POST
def drop(request: HttpRequest, number: int) -> HttpResponse:
    """Give an open count up; what was found stays with it, and nothing was posted."""
    found = count_for(recorder_for(request).premises, number)
    if found.is_open:
        OpenCount.objects.filter(pk=found.pk).update(is_dropped=True)
        messages.info(request, f"Count {found.number} is given up. Nothing was posted.")
    return redirect("counts")


@require_safe
def sheet(request: HttpRequest, number: int) -> HttpResponse:
    """The sheet to print: ``?book=1`` with the book's figures."""
    found = count_for(member_for(request).premises, number)
    paper = count_sheet(found, wanted(found), with_book=bool(request.GET.get("book")))
    answer = HttpResponse(render_pdf([paper]), content_type="application/pdf")
    answer["Content-Disposition"] = f'attachment; filename="count-sheet-{number}.pdf"'
    return answer
