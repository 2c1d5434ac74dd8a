"""What every page shows: the plant, the person's role there, and the month that is open."""

from datetime import date
from typing import Any

from django.http import HttpRequest
from django.utils import timezone

from distillery.models import Membership
from distillery.people import membership_for
from ledger.models import Period, Premises
from ledger.posting import next_month


def member_of(request: HttpRequest) -> Membership | None:
    """The person's membership, read once a request; None for a stranger or before log-in."""
    kept = request.__dict__
    if "plant_membership" not in kept:
        user = getattr(request, "user", None)
        known = user is not None and user.is_authenticated
        kept["plant_membership"] = membership_for(user) if known else None
    return kept["plant_membership"]


def open_month(premises: Premises) -> date:
    """First day of the oldest month that is not closed: it is the next to be filed."""
    if premises.closed_through:
        return next_month(premises.closed_through)
    first = Period.objects.filter(premises=premises).order_by("month").first()
    today = timezone.now().astimezone(premises.zone).date()
    return first.month if first else today.replace(day=1)


def plant(request: HttpRequest) -> dict[str, Any]:
    """Context of base.html: ``premises``, ``membership``, ``can_record``, ``month``, ``zone``."""
    kept = request.__dict__
    if "plant_context" not in kept:  # a page's tables ask again, each with a context of its own
        kept["plant_context"] = _read(request)
    found: dict[str, Any] = kept["plant_context"]
    return found


def _read(request: HttpRequest) -> dict[str, Any]:
    member = member_of(request)
    if member is None:
        return {}
    return {
        "premises": member.premises,
        "membership": member,
        "can_record": member.role != Membership.Role.READER,
        "month": open_month(member.premises),
        "zone": member.premises.zone,
    }
