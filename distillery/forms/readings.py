"""Fields for what a stick, a sight glass and a density meter show."""

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

DEPTH = re.compile(
    r"(?P<whole>\d{1,5}(\.\d{1,4})?)(\s+(?P<over>\d{1,2})/(?P<under>[1-9]\d?))?\s*"
    r"(?P<unit>in|inch|inches|\"|mm|cm)?"
)
INCHES = {"mm": Decimal("25.4"), "cm": Decimal("2.54")}  # exact since 1959
DENSITY = re.compile(r"(?P<figure>\d{1,4}(\.\d{1,6})?)\s*(?P<unit>kg/m3|kg/m³|g/cm3|g/cm³|g/ml)?")
LIGHTEST, HEAVIEST = 700, 1300  # kg/m3; spirits and syrups lie well inside


class DepthField(forms.CharField):
    """A depth of liquid, like ``40 3/8`` or ``1025 mm``, in inches; a bare number is inches."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=30, required=False, **options)

    def clean(self, value: Any) -> Any:
        """The Decimal [in], or None when empty. Raises ValidationError."""
        text = super().clean("" if value is None else str(value))
        if not text:
            return None
        found = DEPTH.fullmatch(text.lower())
        if found is None:
            raise ValidationError("Give the depth in inches, like 40.5 or 40 3/8, or in mm.")
        depth = Decimal(found["whole"])
        if found["over"]:
            depth += Decimal(found["over"]) / Decimal(found["under"])
        return depth / INCHES.get(found["unit"] or "in", Decimal(1))


class DensityField(forms.CharField):
    """A density, like ``0.92345 g/cm3`` or ``923.45 kg/m3``, in kg/m3.

    A bare number below 10 is g/cm3, else kg/m3: no liquid could be mistaken.
    """

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=30, required=False, **options)

    def clean(self, value: Any) -> Any:
        """The Decimal [kg/m3], or None when empty. Raises ValidationError."""
        text = super().clean("" if value is None else str(value))
        if not text:
            return None
        found = DENSITY.fullmatch(text.lower())
        figure = Decimal(found["figure"]) if found else Decimal(0)
        unit = (found["unit"] if found else "") or ("g/cm3" if figure < 10 else "kg/m3")
        density = figure if unit.startswith("kg") else figure * 1000
        if not LIGHTEST <= density <= HEAVIEST:
            raise ValidationError("Give the density like 0.92345 g/cm3 or 923.45 kg/m3.")
        return density
