"""A shared tablet locks when nobody has used it for a while; the next person says who they are.

Locking is a real log-out. A form that is sent afterwards is kept, and goes on when its person
unlocks (``kept_posts``); what a script fetches by itself neither keeps the tablet awake nor
moves the page away. A script's own record is kept by the script: it is redirected and waits.
"""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from django.contrib.auth import logout
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.cache import patch_cache_control

from distillery import by_pin
from distillery.devices import device_of
from distillery.kept_posts import keep, lock
from distillery.models import DatedSetting, Device
from distillery.pages import going_on, who
from distillery.sessions import is_fetched

SEEN = "seen"
SEEN_EVERY = 20  # seconds, so that not every page writes the session


def lock_minutes(device: Device, now: datetime) -> int:
    """Minutes of rest after which *device* locks; 0 for never."""
    premises = device.premises
    name = DatedSetting.Name.LOCK_MINUTES
    return int(float(DatedSetting.value_on(premises, name, now.astimezone(premises.zone).date())))


def is_by_hand(request: HttpRequest) -> bool:
    """Whether a person asks, and not a script of the page that refreshes by itself."""
    return request.method == "POST" or not is_fetched(request)


class Locking:
    """Logs out who has rested too long on a device, and whose device is one no more."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        device = device_of(request)
        if by_pin.is_elsewhere(request, device):
            logout(request)
        if device is None:
            return self.get_response(request)
        self._watch(request, device)
        response = self.get_response(request)
        if request.method != "POST" and not response.has_header("Cache-Control"):
            # The next person who goes back is asked for, not shown the page of the one before.
            # What answered a form stays: it could not be asked for again (lock.js looks after it).
            patch_cache_control(response, no_store=True)
        return response

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        """Ask for the password where a code is not enough."""
        return going_on.ask_password(request) if by_pin.needs_password(request) else None

    def _watch(self, request: HttpRequest, device: Device) -> None:
        now = timezone.now()
        minutes = lock_minutes(device, now)
        request.lock_minutes = minutes  # type: ignore[attr-defined]
        if not request.user.is_authenticated:
            return
        seen = request.session.get(SEEN, now.timestamp())
        rested = timedelta(seconds=now.timestamp() - seen)
        if minutes and rested > timedelta(minutes=minutes):
            lock(request)
        elif is_by_hand(request) and (SEEN not in request.session or rested.seconds > SEEN_EVERY):
            request.session[SEEN] = now.timestamp()


class LogInOrChoose(LoginRequiredMiddleware):
    """Sends nobody to the log-in, and on a device to the names of its people."""

    def handle_no_permission(self, request: HttpRequest, view_func: Any) -> Any:
        """The names; with the form kept where one was sent."""
        device = device_of(request)
        if device is None:
            return super().handle_no_permission(request, view_func)
        if request.headers.get("hx-request"):
            return HttpResponse(status=204)  # the part stays as it is
        kept = keep(request) if request.POST and not request.FILES else ""
        if kept:
            return who.names(request, device, kept=kept)
        return redirect(who.address(request.get_full_path()))
