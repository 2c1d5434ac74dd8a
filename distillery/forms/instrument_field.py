"""A field that names an instrument of the plant."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from distillery.forms.fields import OfPremises
from distillery.models import Instrument


class InstrumentField(OfPremises, forms.CharField):
    """The code of an instrument of this plant, as an Instrument with its corrections.

    *kinds* limits what is taken. One out of use is taken too: as_read says what is wrong with it.
    """

    def __init__(self, *kinds: str, **options: Any) -> None:
        self.kinds = kinds
        super().__init__(max_length=40, **options)

    def clean(self, value: Any) -> Any:
        """The Instrument, or None. Raises ValidationError for an unknown code or another kind."""
        code = super().clean("" if value is None else str(value))
        if not code:
            return None
        rows = Instrument.objects.filter(premises=self.premises, code=code)
        found = rows.prefetch_related("corrections").first()
        if found is None:
            raise ValidationError(
                f"There is no instrument “{code}” on the plant's list. Add it under Plant first."
            )
        if self.kinds and found.kind not in self.kinds:
            wanted = " or ".join(kind.replace("_", " ") for kind in self.kinds)
            raise ValidationError(f"{code} is a {found.kind.replace('_', ' ')}, not a {wanted}.")
        return found
