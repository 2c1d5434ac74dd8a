"""Times as a run tells them."""

from datetime import datetime
from zoneinfo import ZoneInfo

from django import template
from django.utils import timezone

register = template.Library()


@register.filter
def clock(value: datetime | None, zone: ZoneInfo) -> str:
    """``10:45`` of today; with its day when it is another: ``29 Jan 10:45``."""
    if value is None:
        return ""
    local = value.astimezone(zone)
    same = local.date() == timezone.localdate(timezone=zone)
    return f"{local:%H:%M}" if same else f"{local:%-d %b %H:%M}"
