"""What follows a log-in by password: the code opens again, wrong passwords are forgotten.

A log-in by a short code says nothing of the password: what was wrong stays counted, or who had
seen a code could try passwords without end.
"""

from typing import Any

from axes.utils import reset
from django.contrib.auth.signals import user_logged_in
from django.dispatch import receiver
from django.http import HttpRequest

from distillery.by_pin import BY_PIN
from distillery.devices import device_of
from distillery.pins import forget_tries
from distillery.proxies import client_address


@receiver(user_logged_in, dispatch_uid="distillery.log_ins")
def begin_anew(sender: Any, request: HttpRequest | None, user: Any, **more: Any) -> None:
    """Forget what was wrong of *user* on the machine that asks; the session is one by password."""
    if request is None or getattr(request, "opens_by_code", False):
        return
    request.session.pop(BY_PIN, None)
    reset(username=user.get_username(), ip=client_address(request))
    device = device_of(request)
    if device:
        forget_tries(user, device=device)
