"""The plant's shared tablets: an owner makes this browser one, or ends one."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from distillery.devices import device_of, register, remember, revoke, row_named
from distillery.locking import lock_minutes
from distillery.models import Device, Membership
from distillery.pages.people import member_for


def owner_for(request: HttpRequest) -> Membership:
    """The membership of an owner. Raises Http404 for a stranger, PermissionDenied for others."""
    member = member_for(request)
    if member.role != Membership.Role.OWNER:
        raise PermissionDenied("The plant's owner sets up its tablets.")
    return member


@require_http_methods(["GET", "HEAD", "POST"])
def devices(request: HttpRequest) -> HttpResponse:
    """Every tablet with when it was last seen; posted, this browser becomes one or one ends."""
    member = owner_for(request)
    if "revoke" in request.POST:
        return _revoke(request, member)
    wrong = ""
    if request.method == "POST":
        try:
            return _register(request, member)
        except ValidationError as error:
            wrong = error.messages[0]
    here = device_of(request)
    told = {
        "devices": Device.objects.filter(premises=member.premises),
        "here": here,
        "minutes": lock_minutes(here, timezone.now()) if here else None,
        "wrong": wrong,
        "name": request.POST.get("name", ""),
    }
    return render(request, "who/devices.html", told)


def _register(request: HttpRequest, member: Membership) -> HttpResponse:
    by = member.user.get_username()
    device, cookie = register(member.premises, request.POST.get("name", ""), by=by)
    messages.info(request, f"This is now {device.name}. People change places with their codes.")
    response = redirect("devices")
    remember(response, cookie)
    return response


def _revoke(request: HttpRequest, member: Membership) -> HttpResponse:
    rows = Device.objects.filter(premises=member.premises, revoked_at=None)
    device = rows.filter(pk=row_named(request.POST["revoke"])).first()
    if device:
        revoke(device, now=timezone.now())
        messages.info(request, f"{device.name} is no tablet of the plant any more.")
    return redirect("devices")
