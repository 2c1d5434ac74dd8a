"""A day as typed."""

from datetime import date
from typing import Any

from django import forms


class DayField(forms.DateField):
    """A day like ``2026-06-30`` as a date, or None when empty and not required."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("required", False)
        messages = {"invalid": "Give the day like 2026-06-30."}
        super().__init__(input_formats=["%Y-%m-%d"], error_messages=messages, **options)

    def to_python(self, value: Any) -> date | None:
        """The day. Raises ValidationError, also for an object or a list of a record file."""
        return super().to_python(value if isinstance(value, date) or value is None else str(value))
