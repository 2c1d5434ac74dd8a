"""The notices given, newest first."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from distillery.models import Notice
from distillery.notices import suspended
from distillery.pages.people import member_for

MOST = 200  # as many as a page can be read


@require_safe
def notices(request: HttpRequest) -> HttpResponse:
    """Every notice kept, also those taken back, and whether production is suspended now."""
    premises = member_for(request).premises
    rows = Notice.objects.filter(premises=premises).select_related("entry")[:MOST]
    today = timezone.now().astimezone(premises.zone).date()
    context = {"notices": rows, "suspended": suspended(premises, today, today)}
    return render(request, "book/notices.html", context)
