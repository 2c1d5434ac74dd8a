"""A field that names a removal by its document, as the entry that made it."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from distillery.forms.fields import OfPremises
from distillery.removals import not_gone, removal_of


class RemovalField(OfPremises, forms.CharField):
    """The number of an invoice or shipping document, as the Entry of its removal.

    With *is_waiting* a page offers those whose goods have not gone.
    """

    def __init__(self, *, is_waiting: bool = False, **options: Any) -> None:
        self.is_waiting = is_waiting
        super().__init__(max_length=60, **options)

    def clean(self, value: Any) -> Any:
        """The entry. Raises ValidationError when no removal that stands bears the number."""
        document = super().clean("" if value is None else str(value))
        if not document:
            return None
        found = removal_of(self.premises, document) if self.premises else None
        if found is None:
            raise ValidationError(f"No removal that stands bears document {document}.")
        return found

    @property
    def waiting(self) -> list[str]:
        """Documents whose goods have not gone, to choose from."""
        if not (self.is_waiting and self.premises):
            return []
        return [one.document for one in not_gone(self.premises)]
