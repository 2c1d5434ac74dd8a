"""Rows that carry a gauge each: vessels dumped, shipped or filled from a still."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.forms import Part, RowsField
from distillery.forms.gauge import GaugePart, OfMoment
from ledger.gauging import Gauge, GaugingError
from ledger.models import Vessel


class GaugedPart(GaugePart):
    """A row with a gauge; subclasses add a vessel and what else the row tells.

    In a record: ``{"vessel": "B-1", "gross": "165.5 lb", "tare": "50 lb", "proof": "118"}``.
    """

    def clean(self) -> dict[str, Any]:
        """As a gauge alone, where any of its fields is filled in; none is allowed here."""
        if self.is_gauged:
            return super().clean()
        return super(GaugePart, self).clean() or {}

    def _purpose(self) -> str:
        vessel = self.cleaned_data.get("vessel")
        return "package" if vessel and vessel.kind == Vessel.Kind.BARREL else self.purpose


class GaugedRowsField(OfMoment, RowsField):
    """Rows of a GaugedPart: its cleaned fields, and ``gauged`` for the gauge at a chosen step."""

    def result(self, part: Part) -> dict[str, Any]:
        """The cleaned fields; a ValidationError carries the gauging sentence."""
        if not isinstance(part, GaugedPart):
            raise TypeError(part)
        part.moment = self.moment
        try:
            if part.is_gauged:
                part.gauge("0.01")
        except GaugingError as error:
            raise ValidationError(str(error)) from error
        return {**part.cleaned_data, "gauged": part}


def gauge_of(row: dict[str, Any], *, step: str = "0.01") -> Gauge | None:
    """The gauge of a cleaned row, its proof gallons rounded once to *step*; None without one."""
    part: GaugedPart = row["gauged"]
    return part.gauge(step) if part.is_gauged else None
