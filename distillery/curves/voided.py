"""What was voided of a curve's readings: struck through beside it, with who and why."""

from collections.abc import Callable, Sequence
from typing import Any
from zoneinfo import ZoneInfo

from distillery.models import Reading

RECKONED = frozenset({"When", "Hours", "Expected"})  # told without its head, or not read at all


def voided_of(
    row_of: Callable[[Reading], Sequence[str]],
    heads: Sequence[str],
    zone: ZoneInfo,
    **only: Any,
) -> tuple[tuple[str, str], ...]:
    """(what was read, under the *heads* of its table; who voided it and why), oldest first."""
    rows = Reading.objects.filter(void__isnull=False, **only)
    related = ("void", "still_reading__receiver")
    return tuple(
        (_told(row_of(row), heads), void_words(row, zone))
        for row in rows.select_related(*related).order_by("at", "pk")
    )


def _told(row: Sequence[str], heads: Sequence[str]) -> str:
    pairs = zip(heads, row, strict=True)
    told = [f"{head.lower()} {cell}" for head, cell in pairs if cell and head not in RECKONED]
    return ", ".join((row[0], *told)).replace("ph ", "pH ")


def void_words(row: Reading, zone: ZoneInfo) -> str:
    """``Voided by wren, 30 Nov 10:06: mistyped``."""
    void = row.void
    return f"Voided by {void.by}, {void.recorded_at.astimezone(zone):%-d %b %H:%M}: {void.reason}"
