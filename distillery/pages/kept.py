"""A check of bottles, or the void of a reading, that was kept just now, and what is likely next."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from distillery.models import BottleCheck, ReadingVoid
from distillery.pages.people import recorder_for

WITHIN: dict[bool | None, str] = {
    True: "Within tolerance.",
    False: "Out of tolerance: mend the filler and check again.",
}


@require_safe
def kept(request: HttpRequest) -> HttpResponse:
    """The check or the void with the key that the address names; without one the page says so."""
    member = recorder_for(request)
    named = {"premises": member.premises, "key": request.GET.get("key", "")}
    check = BottleCheck.objects.filter(**named).select_related("vessel", "run").first()
    if check is None:
        return render(request, "record/kept_void.html", {"void": _void(**named)})
    words = WITHIN.get(check.is_within, "")  # None was held against nothing
    return render(request, "record/kept.html", {"check": check, "words": words})


def _void(**named: Any) -> ReadingVoid | None:
    return ReadingVoid.objects.filter(**named).select_related("reading__vessel").first()
