"""A check of bottles or of the filler that was kept just now, and what is likely next."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from distillery.models import BottleCheck
from distillery.pages.people import recorder_for

WITHIN: dict[bool | None, str] = {
    True: "Within tolerance.",
    False: "Out of tolerance: mend the filler and check again.",
}


@require_safe
def kept(request: HttpRequest) -> HttpResponse:
    """The check with the key that the address names; without one the page says so."""
    member = recorder_for(request)
    rows = BottleCheck.objects.filter(premises=member.premises, key=request.GET.get("key", ""))
    check = rows.select_related("vessel", "run").first()
    words = WITHIN.get(check.is_within, "") if check else ""  # None was held against nothing
    return render(request, "record/kept.html", {"check": check, "words": words})
