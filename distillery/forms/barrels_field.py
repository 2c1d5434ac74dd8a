"""Barrels named together by their codes, and codes for barrels that are new."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from distillery.code_ranges import codes_of
from distillery.forms.fields import OfPremises
from ledger.models import Vessel
from ledger.models.things import CODE

LONGEST = 4000


class CodesField(OfPremises, forms.CharField):
    """Codes like ``B-101..B-112, B-120``, as a list; [] when empty."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=LONGEST, **options)

    def clean(self, value: Any) -> Any:
        """The codes, each of which fits a vessel. Raises ValidationError."""
        text = super().clean("" if value is None else str(value))
        try:
            codes = codes_of(text) if text else []
        except ValueError as error:
            raise ValidationError(str(error)) from error
        for code in codes:
            CODE(code)
        return codes


class BarrelsField(CodesField):
    """Barrels of the plant, as a list of Vessel in the order they were named."""

    def clean(self, value: Any) -> Any:
        """The vessels. Raises ValidationError for a code that is no barrel here."""
        codes = super().clean(value)
        rows = Vessel.objects.filter(premises=self.premises, kind=Vessel.Kind.BARREL)
        found = {row.code.casefold(): row for row in rows.filter(code__in=codes)}
        unknown = [code for code in codes if code.casefold() not in found]
        found |= {
            row.code.casefold(): row
            for code in unknown
            for row in rows.filter(code__iexact=code)
        }  # fmt: skip
        missing = [code for code in codes if code.casefold() not in found]
        if missing:
            raise ValidationError(f"There is no barrel {', '.join(missing[:5])} here.")
        return [found[code.casefold()] for code in codes]
