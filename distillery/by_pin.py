"""A log-in by a short code: which acts still ask for the password."""

from datetime import timedelta

from django.http import HttpRequest
from django.utils import timezone

from distillery.models import Device
from distillery.operations import operations

BY_PIN = "by_pin"  # in the session: the row of the tablet that the code was typed on
PASSWORD_AT = "password_at"  # noqa: S105 - the name of a moment, not a secret
LASTS = timedelta(minutes=10)

# Acts of the owner that bind the plant to others, by the names of their addresses.
BINDING = frozenset({
    "reports:close", "reports:file", "reports:return-file", "reports:state-file",
    "reports:adjust", "reports:prepay", "reports:check-form", "reports:credit",
    "reports:calendar-address", "devices",
})  # fmt: skip


def is_by_pin(request: HttpRequest) -> bool:
    """Whether this session was opened by a short code."""
    return bool(request.session.get(BY_PIN))


def is_elsewhere(request: HttpRequest, device: Device | None) -> bool:
    """Whether the session was opened by a code on another tablet than *device*, which asks."""
    return is_by_pin(request) and (device is None or request.session[BY_PIN] != device.pk)


def needs_password(request: HttpRequest) -> bool:
    """Whether what is asked binds the plant and only a short code was given for it."""
    if not is_by_pin(request) or not _binds(request):
        return False
    given = request.session.get(PASSWORD_AT, 0)
    return timezone.now().timestamp() - given > LASTS.total_seconds()


def _binds(request: HttpRequest) -> bool:
    match = request.resolver_match
    if match is None:
        return False
    if match.app_name == "admin":
        return match.url_name != "jsi18n"
    if request.method != "POST":
        return False
    if match.view_name == "record-operation":
        known = operations().get(match.kwargs.get("slug", ""))
        confirms = request.POST.get("step") == "confirm"
        return confirms and bool((known and known.owner_only) or request.POST.get("late"))
    return match.view_name in BINDING


def given(request: HttpRequest) -> None:
    """The password was given: it holds for a while."""
    request.session[PASSWORD_AT] = timezone.now().timestamp()
