"""The page that shows what either way of booking a late act does to the reports."""

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_POST

from distillery.models import Membership
from distillery.pages import posted
from distillery.pages.people import operation_for, recorder_for
from distillery.recording import Refused
from reports.late_choice import advice, choices_for


@require_POST
def late(request: HttpRequest, slug: str) -> HttpResponse:
    """Both ways for the record on the page. Raises PermissionDenied for all but the owner."""
    member = recorder_for(request)
    if member.role != Membership.Role.OWNER:
        raise PermissionDenied("Only the owner books into or for a closed month.")
    operation = operation_for(member, slug)
    data = posted.record_of(operation, request.POST)
    found, problems = [], []
    try:
        found = choices_for(data, premises=member.premises, user=request.user)
    except Refused as refusal:
        problems = [text for texts in refusal.errors.values() for text in texts]
    return render(
        request,
        "reports/late.html",
        {
            "operation": operation,
            "choices": found,
            "advice": advice(found) if found else "",
            "problems": problems,
            "carried": [pair for pair in posted.carried(request.POST) if pair[0] != "late"],
        },
    )
