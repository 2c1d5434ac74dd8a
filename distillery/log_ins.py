"""What follows a log-in: the password opens a closed code on the tablet it was typed on."""

from typing import Any

from django.contrib.auth.signals import user_logged_in
from django.dispatch import receiver
from django.http import HttpRequest

from distillery.devices import device_of
from distillery.pins import forget_tries


@receiver(user_logged_in, dispatch_uid="distillery.log_ins")
def open_the_code(sender: Any, request: HttpRequest | None, user: Any, **more: Any) -> None:
    """Forget the wrong codes of *user* on the tablet of *request*."""
    device = device_of(request) if request is not None else None
    if device:
        forget_tries(user, device=device)
