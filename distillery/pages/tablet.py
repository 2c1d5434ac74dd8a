"""What the tablet asks for: who is logged in, what to keep, and an answer to each record."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from distillery import by_pin
from distillery.models import Membership
from distillery.pages.answers import answer_to, look
from distillery.pages.people import member_for, operations_for, recorder_for
from distillery.record_lines import LONGEST
from ledger.models import Holding, Premises
from ledger.models.book import LIVE

TOO_LONG = "This record is longer than 1 MB, and the book takes none so long."
KEPT_PAGES = ("floor", "record", "readings")


@never_cache
@require_safe
def here(request: HttpRequest) -> HttpResponse:
    """Who is logged in at which plant, a fresh token, and the time: so the book is there."""
    member = member_for(request)
    return JsonResponse(
        {
            "person": member.user.get_username(),
            "registry": member.premises.registry,
            "token": get_token(request),
            "now": timezone.now().isoformat(),
        }
    )


@never_cache
@require_safe
def keep(request: HttpRequest) -> HttpResponse:
    """The addresses of the pages that this person's tablet keeps for when there is no network."""
    member = member_for(request)
    paths = [reverse("floor")]
    if member.role != Membership.Role.READER:
        paths = [reverse(name) for name in KEPT_PAGES]
        paths += [reverse("run", args=[code]) for code in _running(member.premises)]
        paths += [reverse("record-operation", args=[one.slug]) for one in operations_for(member)]
    return JsonResponse({"person": member.user.get_username(), "paths": paths})


def _running(premises: Premises) -> list[str]:
    """The runs that stand in a still now."""
    rows = Holding.objects.filter(LIVE, premises=premises, lot__stage="run", vessel__kind="still")
    return list(rows.values_list("lot__code", flat=True).distinct())


@require_POST
def send(request: HttpRequest) -> HttpResponse:
    """One record as JSON, answered as the book takes it; see ``answers``."""
    member = recorder_for(request)
    if _length(request) > LONGEST:
        return JsonResponse(look([TOO_LONG]), status=413)
    told, status = answer_to(
        request.body, premises=member.premises, user=member.user, may_bind=_may_bind(request),
        tablet_time=request.headers.get("X-Tablet-Time", ""),
    )  # fmt: skip
    return JsonResponse(told, status=status)


def _may_bind(request: HttpRequest) -> bool:
    """Whether the password was given, at the log-in or a little while ago."""
    given = request.session.get(by_pin.PASSWORD_AT, 0)
    is_fresh = timezone.now().timestamp() - given < by_pin.LASTS.total_seconds()
    return is_fresh or not by_pin.is_by_pin(request)


def _length(request: HttpRequest) -> int:
    text = request.META.get("CONTENT_LENGTH") or "0"
    return int(text) if text.isdecimal() else 0


@login_not_required
@require_safe
def waiting(request: HttpRequest) -> HttpResponse:
    """What waits on this tablet. The page holds nothing of the plant; the tablet fills it in."""
    return render(request, "tablet/waiting.html")


@login_not_required
@require_safe
def offline(request: HttpRequest) -> HttpResponse:
    """What the tablet shows in place of a page that it does not keep."""
    return render(request, "tablet/offline.html")
