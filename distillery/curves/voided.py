"""What was voided of a curve's readings: struck through beside it, with who and why."""

from collections.abc import Callable, Sequence
from typing import Any
from zoneinfo import ZoneInfo

from distillery.models import Reading


def voided_of(
    row_of: Callable[[Reading], Sequence[str]], zone: ZoneInfo, **only: Any
) -> tuple[tuple[str, str], ...]:
    """(the figures as the table would have them, who voided it and why), oldest first."""
    rows = Reading.objects.filter(void__isnull=False, **only)
    related = ("void", "still_reading__receiver")
    return tuple(
        (" · ".join(cell for cell in row_of(row) if cell), void_words(row, zone))
        for row in rows.select_related(*related).order_by("at", "pk")
    )


def void_words(row: Reading, zone: ZoneInfo) -> str:
    """``Voided by wren, 30 Nov 10:06: mistyped``."""
    void = row.void
    return f"Voided by {void.by}, {void.recorded_at.astimezone(zone):%-d %b %H:%M}: {void.reason}"
