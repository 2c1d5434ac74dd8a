"""Short codes on shared tablets: set with the password, hashed as one, throttled by tablet.

Five wrong codes in a row make a person wait on that tablet; fifteen close the code there until
that person logs in on it by password. (Limits: common practice, no source.)
"""

from datetime import datetime, timedelta
from typing import Any

from django.contrib.auth.hashers import check_password, make_password
from django.core.exceptions import ValidationError
from django.db import transaction

from distillery.models import Device, Pin, PinTries

SHORTEST, LONGEST = 4, 8
FEWEST = 3  # different digits: 1111, 1212, 2233 are among the first that anyone tries
WRONG_BEFORE_WAIT = 5
WRONG_BEFORE_CLOSED = 15
WAIT = timedelta(minutes=15)
RUNS = ("01234567890", "09876543210")

GUESSED = (
    f"That code is easily guessed. Use at least {FEWEST} different digits, no year, and no row "
    "like 1234."
)
WRONG = "That code is wrong. Type it again, or log in by password."
NONE_SET = "No code is set for this name. Log in by password, then set one."
WAITING = "Too many wrong codes. Wait {minutes} min, or log in by password."
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
    pin = Pin.objects.filter(user=user).first()
    if pin is None:
        raise PinRefused(NONE_SET)
    with transaction.atomic():
        tries, _ = PinTries.objects.select_for_update().get_or_create(device=device, user=user)
        _refuse_more(tries, now)
        tries.wrong += 1
        tries.last_at = now
        tries.save(update_fields=["wrong", "last_at"])
    if not check_password(code, pin.code_hash):
        raise PinRefused(WRONG)
    forget_tries(user, device=device)


def _refuse_more(tries: PinTries, now: datetime) -> None:
    if tries.wrong >= WRONG_BEFORE_CLOSED:
        raise PinRefused(CLOSED)
    if not tries.wrong or tries.wrong % WRONG_BEFORE_WAIT or tries.last_at is None:
        return
    left = tries.last_at + WAIT - now
    if left > timedelta(0):
        raise PinRefused(WAITING.format(minutes=-(-left // timedelta(minutes=1))))


def forget_tries(user: Any, *, device: Device) -> None:
    """A right code, or the password, opens the tablet to this person again."""
    PinTries.objects.filter(device=device, user=user).delete()
