"""The calendar of what is due: a page, and a feed at a private address."""

from datetime import timedelta
from hashlib import sha256

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe
from icalendar import Calendar, Event

from distillery.pages.people import member_for
from ledger.models import Premises
from reports.due import Due, due_list
from reports.models import CalendarFeed

SOON, MOST = timedelta(days=14), 4


@require_safe
def calendar(request: HttpRequest) -> HttpResponse:
    """Everything due, oldest first."""
    member = member_for(request)
    return render(request, "reports/calendar.html", _context(member.premises, member))


@require_safe
def due_soon(request: HttpRequest) -> HttpResponse:
    """What is due within two weeks, for the floor; instruments it tells of by itself."""
    premises = member_for(request).premises
    now = timezone.now()
    today = now.astimezone(premises.zone).date()
    near = [
        (one, one.is_overdue(today))
        for one in due_list(premises, now)
        if one.day <= today + SOON and not one.key.startswith("instrument-")
    ]
    return render(request, "reports/due_soon.html", {"due": near[:MOST]})


def _context(premises: Premises, member: object, *, address: str = "") -> dict[str, object]:
    now = timezone.now()
    today = now.astimezone(premises.zone).date()
    rows = [(one, one.is_overdue(today)) for one in due_list(premises, now)]
    has_feed = CalendarFeed.objects.filter(member=member).exists()  # type: ignore[misc]
    return {"rows": rows, "has_feed": has_feed, "address": address}


@never_cache
@require_POST
def make_address(request: HttpRequest) -> HttpResponse:
    """A new private address for this person, shown once; the old one stops working."""
    member = member_for(request)
    secret = CalendarFeed.make(member)
    address = request.build_absolute_uri(f"../{secret}.ics")
    return render(
        request, "reports/calendar.html", _context(member.premises, member, address=address)
    )


def event(one: Due, premises: Premises, origin: str) -> Event:
    """One thing due as an all-day event (RFC 5545)."""
    found = Event()
    digest = sha256(f"{premises.registry} {one.key}".encode()).hexdigest()[:24]
    found.add("uid", f"{digest}@{premises.registry.lower()}")
    found.add("dtstamp", timezone.now())
    found.add("dtstart", one.day)
    found.add("dtend", one.day + timedelta(days=1))
    found.add("summary", one.what)
    found.add("description", f"Waits for {one.waits_for}. {origin}{one.address}")
    found.add("transp", "TRANSPARENT")
    return found


@never_cache
@login_not_required
@require_safe
def feed(request: HttpRequest, secret: str) -> HttpResponse:
    """The feed. Whoever knows the address reads what is due and no figure of the book."""
    row = CalendarFeed.objects.filter(secret_hash=CalendarFeed.hash_of(secret))
    found = row.select_related("member__premises").first()
    if found is None or not found.member.user.is_active:
        raise Http404("There is no such calendar.")
    premises = found.member.premises
    content = Calendar()
    content.add("prodid", "-//distillery book//due//EN")
    content.add("version", "2.0")
    content.add("x-wr-calname", f"Due at {premises.name}")
    origin = request.build_absolute_uri("/").rstrip("/")
    for one in due_list(premises, timezone.now()):
        content.add_component(event(one, premises, origin))
    answer = HttpResponse(content.to_ical(), content_type="text/calendar; charset=utf-8")
    answer["Content-Disposition"] = 'inline; filename="due.ics"'
    return answer
