"""Shared tablets: which browser is one of the plant's own, and who may be on it.

An owner makes a browser a device; a long-lived signed cookie tells it from then on. Revoking
the device ends what was opened on it by a short code.
"""

from datetime import datetime, timedelta
from hashlib import sha256
from json import dumps, loads
from secrets import compare_digest, token_urlsafe
from typing import Any

from django.conf import settings
from django.contrib.auth import get_user_model
from django.core import signing
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from distillery.models import Device
from ledger.errors import BadFact
from ledger.models import Premises

COOKIE = "device"
SALT = "distillery.devices"
LASTS = timedelta(days=400)  # the longest that browsers keep a cookie; renewed at each switch
SEEN_EVERY = timedelta(minutes=5)


def _hashed(secret: str) -> str:
    return sha256(secret.encode()).hexdigest()  # 32 random bytes need no slow hash


def register(premises: Premises, name: str, *, by: str) -> tuple[Device, str]:
    """A new device of *premises* and its cookie's text. Raises ValidationError for its name."""
    name = " ".join(name.split())
    if not name or len(name) > 60 or not name.isprintable():
        raise ValidationError("Give the tablet a name of at most 60 characters.")
    if Device.objects.filter(premises=premises, name=name).exists():
        raise ValidationError("There is a tablet of that name, now or before. Choose another.")
    secret = token_urlsafe(32)
    device = Device.objects.create(
        premises=premises, name=name, secret_hash=_hashed(secret), registered_by=by
    )
    return device, signing.dumps([device.pk, secret], salt=SALT)


def revoke(device: Device, *, now: datetime) -> None:
    """From now on the browser is no device; its name stays with the records made on it."""
    device.revoked_at = now
    device.save(update_fields=["revoked_at"])


def remember(response: HttpResponse, cookie: str) -> None:
    """Have the browser keep *cookie* for as long as it will."""
    response.set_cookie(
        COOKIE, cookie, max_age=LASTS, secure=settings.BEHIND_TLS, httponly=True, samesite="Lax"
    )


def device_of(request: HttpRequest) -> Device | None:
    """The device that asks, looked up once a request; None for any other browser."""
    kept = request.__dict__
    if "plant_device" not in kept:
        kept["plant_device"] = _asking(request.COOKIES.get(COOKIE, ""))
    return kept["plant_device"]


def _asking(cookie: str) -> Device | None:
    if not cookie:
        return None
    try:
        pk, secret = signing.loads(cookie, salt=SALT)
    except (signing.BadSignature, TypeError, ValueError):
        return None
    device = Device.objects.select_related("premises").filter(pk=pk, revoked_at=None).first()
    if device is None or not compare_digest(device.secret_hash, _hashed(str(secret))):
        return None
    now = timezone.now()
    if device.last_seen is None or now - device.last_seen > SEEN_EVERY:
        device.last_seen = now
        device.save(update_fields=["last_seen"])
    return device


def made_on(request: HttpRequest, premises: Premises) -> dict[str, str]:
    """The envelope's ``tablet`` of a record made on this page; empty off the plant's tablets."""
    device = device_of(request)
    return {"tablet": device.name} if device and device.premises_id == premises.pk else {}


def device_in(form: str) -> str:
    """The device that a record's sealed text names; "" for none."""
    return str(loads(form).get("tablet", "")) if '"tablet": ' in form else ""


def check_named(data: dict[str, Any], premises: Premises) -> None:
    """A record names only tablets that *premises* has or had. Raises BadFact."""
    name = data.get("tablet")
    if not name:
        return
    rows = Device.objects.filter(premises=premises)
    if not isinstance(name, str) or not rows.filter(name=name).exists():
        raise BadFact(f"There is no tablet “{name}” at this plant.", field="tablet")


def naming(device: str) -> str:
    """What the sealed text of a record made on *device* holds, word for word."""
    return f'"tablet": {dumps(device, ensure_ascii=False)}'


def by_whom(record: Any) -> str:
    """Person and tablet of an entry or a reading: ``ada on Still house tablet``."""
    device = device_in(record.form)
    return f"{record.by} on {device}" if device else record.by


def row_named(text: str) -> int:
    """The row that a button's *text* names; 0, which no row has, for what is no number of one."""
    return int(text) if text.isdecimal() and len(text) < 19 else 0


def people_of(device: Device) -> "QuerySet[Any]":
    """Who can be on the device: the people of its plant, by name."""
    people = get_user_model().objects.filter(
        is_active=True, memberships__premises=device.premises_id
    )
    return people.order_by("first_name", "username")
