"""Fields that tell of age: time in wood, and the wood it is in now."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from distillery import ages
from distillery.forms.fields import ChoiceField


class AgeField(forms.CharField):
    """An age like ``2 years 3 months 14 days`` or ``P2Y3M14D``, as an ages.Span."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=40, required=False, **options)

    def clean(self, value: Any) -> Any:
        """The span; nothing when empty. Raises ValidationError."""
        text = super().clean("" if value is None else str(value))
        try:
            return ages.read(text)
        except ValueError as error:
            raise ValidationError(str(error)) from error


def wood_field() -> ChoiceField:
    """The wood a barrel's content stands in, where the barrel's own sheet does not say it."""
    choices = [("", "as the barrel’s list says"), *ages.WOODS.items()]
    return ChoiceField(choices=choices, required=False, label="Wood it stands in")
