"""Moments and ages as the plant tells them."""

from datetime import datetime
from zoneinfo import ZoneInfo

from django import template
from django.utils import timezone

register = template.Library()

NOW = "just now"
MINUTE, HOUR, DAY = 60, 3600, 86400
LONGEST = ((365 * DAY, "year"), (30 * DAY, "month"), (DAY, "day"), (HOUR, "h"), (MINUTE, "min"))


@register.filter
def moment(value: datetime | None, zone: ZoneInfo) -> str:
    """An instant in the plant's own time: ``29 Jan 2026 18:30``."""
    return f"{value.astimezone(zone):%-d %b %Y %H:%M}" if value else ""


@register.filter
def day(value: datetime | None, zone: ZoneInfo) -> str:
    """The plant's date of an instant: ``29 Jan 2026``."""
    return f"{value.astimezone(zone):%-d %b %Y}" if value else ""


@register.filter
def age(value: datetime | None) -> str:
    """How long ago, in the one or two words that matter: ``3 h``, ``2 years 4 months``."""
    if value is None:
        return ""
    seconds = int((timezone.now() - value).total_seconds())
    for place, (size, word) in enumerate(LONGEST):
        if seconds >= size:
            told = _count(seconds // size, word)
            left = seconds % size // LONGEST[place + 1][0] if word == "year" else 0
            return f"{told} {_count(left, 'month')}" if left else told
    return NOW


@register.filter
def ago(value: datetime | None) -> str:
    """The same as a moment past: ``3 h ago``."""
    told = age(value)
    return told if told in ("", NOW) else f"{told} ago"


def _count(number: int, word: str) -> str:
    plural = "" if number == 1 or word in ("h", "min") else "s"
    return f"{number} {word}{plural}"
