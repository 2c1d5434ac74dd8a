"""Short codes on shared tablets: set with the password, hashed as one, throttled.

Five wrong codes of one person, on however many tablets, make that person wait; ten on one tablet,
of whomever, make everybody wait there; fifteen close a person's code on that tablet until that
person logs in on it by password. The log-in by password is never held up by codes. (Limits:
common practice, no source.)
"""

from datetime import datetime, timedelta
from typing import Any

from django.contrib.auth.hashers import check_password, make_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max, QuerySet, Sum

from distillery.models import Device, Pin, PinTries

SHORTEST, LONGEST = 4, 8
FEWEST = 3  # different digits: 1111, 1212, 2233 are among the first that anyone tries
WRONG_BEFORE_WAIT = 5  # of one person, all tablets together
WRONG_ON_TABLET = 10  # on one tablet, all people together
WRONG_BEFORE_CLOSED = 15
WAIT = timedelta(minutes=15)
RUNS = ("01234567890", "09876543210")

GUESSED = (
    f"That code is easily guessed. Use at least {FEWEST} different digits, no year, and no row "
    "like 1234."
)
WRONG = "That code is wrong. Type it again, or log in by password."
NONE_SET = "No code is set for this name. Log in by password, then set one."
WAITING = "Too many wrong codes for this name. Wait {minutes} min, or log in by password."
ALL_WAIT = "Too many wrong codes on this tablet. Wait {minutes} min, or log in by password."
CLOSED = "The code is closed on this tablet. Log in by password once to open it again."


class PinRefused(Exception):
    """The code does not open the tablet; the text says what to do."""


def check_code(code: str) -> None:
    """Refuse what is no code, or the first anyone would try. Raises ValidationError."""
    if not (code.isascii() and code.isdigit() and SHORTEST <= len(code) <= LONGEST):
        raise ValidationError(f"Type {SHORTEST} to {LONGEST} digits.")
    is_year = len(code) == 4 and code.startswith(("19", "20"))
    if len(set(code)) < FEWEST or is_year or any(code in run for run in RUNS):
        raise ValidationError(GUESSED)


def set_pin(user: Any, code: str, *, now: datetime) -> None:
    """Give *user* the code. Raises ValidationError."""
    check_code(code)
    Pin.objects.update_or_create(
        user=user, defaults={"code_hash": make_password(code), "set_at": now}
    )


def try_pin(user: Any, code: str, *, device: Device, now: datetime) -> None:
    """Check *code*; the try counts before it is looked at. Raises PinRefused."""
    with transaction.atomic():
        # Both rows held, always in this order: tries at one time are counted one by one.
        pin = Pin.objects.select_for_update().filter(user=user).first()
        if pin is None:
            raise PinRefused(NONE_SET)
        Device.objects.select_for_update().get(pk=device.pk)
        tries, _ = PinTries.objects.get_or_create(device=device, user=user)
        _refuse_more(tries, now)
        _count(tries, now)
    if not check_password(code, pin.code_hash):
        raise PinRefused(WRONG)
    forget_tries(user, device=device)


def _refuse_more(tries: PinTries, now: datetime) -> None:
    if tries.wrong >= WRONG_BEFORE_CLOSED:
        raise PinRefused(CLOSED)
    rows = PinTries.objects.filter(last_at__gt=now - WAIT)
    _wait(rows.filter(user=tries.user_id), WRONG_BEFORE_WAIT, WAITING, now)
    _wait(rows.filter(device=tries.device_id), WRONG_ON_TABLET, ALL_WAIT, now)


def _wait(rows: "QuerySet[PinTries]", most: int, words: str, now: datetime) -> None:
    """Refuse where *rows*, all of the last while, have *most* wrong codes together."""
    found = rows.aggregate(wrong=Sum("lately"), last=Max("last_at"))
    if (found["wrong"] or 0) < most:
        return
    left = found["last"] + WAIT - now
    raise PinRefused(words.format(minutes=-(-left // timedelta(minutes=1))))


def _count(tries: PinTries, now: datetime) -> None:
    """One wrong code more, until it is found right."""
    rested = tries.last_at is None or now - tries.last_at >= WAIT
    tries.lately = 1 if rested else tries.lately + 1
    tries.wrong += 1
    tries.last_at = now
    tries.save(update_fields=["wrong", "lately", "last_at"])


def forget_tries(user: Any, *, device: Device) -> None:
    """A right code, or the password, opens the tablet to this person again."""
    PinTries.objects.filter(device=device, user=user).delete()
