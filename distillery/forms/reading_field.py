"""A field that names a reading by its key; the page offers the newest in words."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from distillery.forms.fields import OfPremises
from distillery.models import Reading


class ReadingField(OfPremises, forms.CharField):
    """The key of a reading of this plant, as the Reading."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=80, **options)

    def clean(self, value: Any) -> Any:
        """The Reading, or None. Raises ValidationError for a key nobody used."""
        key = super().clean("" if value is None else str(value))
        if not key:
            return None
        rows = Reading.objects.filter(premises=self.premises, key=key)
        found = rows.select_related("premises", "vessel", "lot", "void").first()
        if found is None:
            raise ValidationError("There is no such reading here. Choose one of the list.")
        return found
