"""What is due soon, for the floor: asked only where a page shows it."""

from datetime import timedelta
from typing import Any

from django.http import HttpRequest
from django.utils import timezone

from distillery.context import member_of
from reports.due import Due, due_list

SOON = timedelta(days=14)
MOST = 4


def due(request: HttpRequest) -> dict[str, Any]:
    """``due_soon``: a callable that a template may ask, so that other pages pay nothing."""

    def due_soon() -> list[tuple[Due, bool]]:
        member = member_of(request)
        if member is None:
            return []
        now = timezone.now()
        today = now.astimezone(member.premises.zone).date()
        near = [
            one
            for one in due_list(member.premises, now)
            if one.day <= today + SOON and not one.key.startswith("instrument-")
        ]  # the floor tells of instruments by itself
        return [(one, one.is_overdue(today)) for one in near[:MOST]]

    return {"due_soon": due_soon}
