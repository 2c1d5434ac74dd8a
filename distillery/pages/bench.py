"""The bench: working figures by hand, at addresses that can be passed on. Nothing is recorded."""

from itertools import groupby
from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from distillery.bench import calculations
from distillery.bench.base import Calculation
from distillery.bench.working import Worked, bound, work
from distillery.models import Membership
from distillery.operations import operations
from distillery.pages.offers import Offers
from distillery.pages.people import member_for
from distillery.pages.sheet import SPARE, Sheet
from distillery.people import may_record
from distillery.printed_cells import cells_for
from distillery.recording import Refused
from ledger.gauging.tables import using

MORE_ROWS = 8


@require_safe
def bench(request: HttpRequest) -> HttpResponse:
    """Every calculation, by group."""
    member_for(request)
    found = calculations().values()
    groups = [(name, list(some)) for name, some in groupby(found, lambda one: one.group)]
    return render(request, "bench/bench.html", {"groups": groups})


@require_safe
def bench_work(request: HttpRequest, slug: str) -> HttpResponse:
    """The form; filled in by the address, the slip under it."""
    member = member_for(request)
    calculation = calculations().get(slug)
    if calculation is None:
        raise Http404("No such calculation.")
    more = request.GET.get("step") == "more"
    if not _is_filled_in(calculation, request):
        return _draw(request, calculation, Sheet(calculation.form(), Offers(member.premises)))
    errors: dict[str, list[str]] = {}
    worked = None
    if not more:
        try:
            with using(cells_for(member.premises)):
                worked = work(calculation, request.GET)
        except Refused as refusal:
            errors = refusal.errors
    form = bound(calculation, request.GET)
    spare = MORE_ROWS if more else SPARE
    sheet = Sheet(form, Offers(member.premises), None if more else errors, spare=spare)
    return _draw(request, calculation, sheet, errors, _result(calculation, worked, member))


def _is_filled_in(calculation: Calculation, request: HttpRequest) -> bool:
    names = calculation.form.base_fields
    return any(key.partition("-")[0] in names for key in request.GET)


def _draw(
    request: HttpRequest,
    calculation: Calculation,
    sheet: Sheet,
    errors: dict[str, list[str]] | None = None,
    result: dict[str, Any] | None = None,
) -> HttpResponse:
    outside = [
        ("sheet", text)
        for name, texts in (errors or {}).items()
        if not sheet.has(name)
        for text in texts
    ]
    context = {"calculation": calculation, "sheet": sheet, **(result or {})}
    context["problems"] = [*outside, *sheet.problems()]
    return render(request, "bench/work.html", context)


def _result(calculation: Calculation, worked: Worked | None, member: Membership) -> dict[str, Any]:
    """The slip, and where this person can carry it."""
    if worked is None:
        return {}
    operation = operations().get(calculation.operation)
    if operation is None or not worked.carried or not may_record(member.role, operation):
        return {"slip": worked.slip}
    address = reverse("record-operation", args=[operation.slug])
    return {
        "slip": worked.slip,
        "operation": operation,
        "carry": f"{address}?{urlencode(worked.carried)}",
    }
