"""Where a scanned or typed code leads: the page of the vessel, barrel, lot or case."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from distillery.pages.people import member_for
from distillery.tracing.finding import UnknownCode, choices_for
from ledger.models import Premises, Vessel

KINDS = {label for _, label in Vessel.Kind.choices}


@require_safe
def at(request: HttpRequest, code: str) -> HttpResponse:
    """On to the one thing of that code; a choice where it may be several, 404 for none."""
    premises = member_for(request).premises
    found, near = _things(premises, code), []
    sentence = ""
    if len(found) == 1:
        return redirect(next(iter(found)))
    if not found:
        try:
            choices_for(premises, code)
        except UnknownCode as unknown:
            sentence, near = str(unknown), unknown.near
    told = {"code": code, "found": found.items(), "sentence": sentence, "near": near}
    return render(request, "labels/at.html", told, status=200 if found else 404)


def _things(premises: Premises, code: str) -> dict[str, str]:
    """The page of each thing that *code* may mean, with its words."""
    found: dict[str, str] = {}
    for vessel in Vessel.objects.filter(premises=premises, code__iexact=code)[:10]:
        page = "barrel" if hasattr(vessel, "barrel") else "vessel"
        words = f"{vessel.get_kind_display()} {vessel.code}"
        found[reverse(page, args=[vessel.code])] = words
    try:
        choices = choices_for(premises, code)
    except UnknownCode:
        return found
    for one in choices:
        if one.kind not in KINDS:
            found.setdefault(reverse("lot", args=[one.lot.code]), one.told)
    return found
