"""Fields that take what a person types and give what a plan needs.

Every field may carry ``premises``, set when its form is bound; a field that names a thing of
the plant looks it up there, so another plant's things do not exist for it.
"""

import re
from datetime import datetime, time
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.dateparse import parse_date, parse_datetime

from distillery.models import Material, Product
from ledger import units
from ledger.errors import LedgerError
from ledger.models import Lot, Premises, Vessel
from ledger.models.things import CODE

OWN_CODE = re.compile(r"[A-Z]-(\d{1,15})(?:-|\Z)")


class OfPremises:
    """A field whose answers depend on the plant."""

    premises: Premises | None = None


class TextField(forms.CharField):
    """Free text without control characters."""

    def __init__(self, *, max_length: int = 200, **options: Any) -> None:
        options.setdefault("required", False)
        super().__init__(max_length=max_length, **options)


class CodeField(OfPremises, forms.CharField):
    """A code the person gives to something new, like a lot.

    Codes like ``G-17`` are those the book gives by itself; one that a later entry would need is
    refused.
    """

    def __init__(self, **options: Any) -> None:
        options.setdefault("required", False)
        super().__init__(max_length=40, validators=[CODE], **options)

    def clean(self, value: Any) -> Any:
        """The code, or "". Raises ValidationError."""
        code = super().clean("" if value is None else str(value))
        own = OWN_CODE.match(code)
        if own and self.premises and int(own[1]) > self.premises.last_number:
            raise ValidationError(
                f"“{code}” is how the book numbers its own lots. Give a code with a word in it."
            )
        return code


class YesWidget(forms.CheckboxInput):
    """Reads a tick of a page, and the words a record file may say it with."""

    WORDS = {"": False, "0": False, "false": False, "no": False, "off": False,
             "1": True, "true": True, "yes": True, "on": True}  # fmt: skip

    def value_from_datadict(self, data: Any, files: Any, name: str) -> Any:
        """True, False, or what was said instead, for the field to refuse."""
        value = data.get(name, False)
        known = value.strip().casefold() if isinstance(value, str) else value
        return self.WORDS.get(known, value) if isinstance(known, str) else value


class YesField(forms.BooleanField):
    """A box to tick; unticked is no."""

    widget = YesWidget

    def __init__(self, **options: Any) -> None:
        super().__init__(required=False, **options)

    def to_python(self, value: Any) -> bool:
        """Whether it is so. Raises ValidationError: a declaration is not taken from any word."""
        if value is not None and not isinstance(value, bool):
            raise ValidationError("Say true or false here.")
        return bool(value)


class ChoiceField(forms.ChoiceField):
    """One of a few words; the refusal lists them."""

    def __init__(self, *, choices: Any, **options: Any) -> None:
        words = ", ".join(str(value) for value, _ in choices if value)
        messages = {"invalid_choice": f"“%(value)s” is not one of: {words}."}
        super().__init__(choices=choices, error_messages=messages, **options)


class QuantityField(forms.CharField):
    """A quantity as typed, with or without its unit, as a Decimal in the kind's base unit.

    ``kind`` is one of ledger.units.KINDS; a bare number is in ``unit`` (or the base unit).
    """

    def __init__(
        self, kind: str, *, unit: str | None = None, above: int = 0, **options: Any
    ) -> None:
        self.kind, self.unit = kind, unit
        self.above_zero = bool(above)
        super().__init__(**options)

    def clean(self, value: Any) -> Any:
        """The Decimal, or None when empty and not required. Raises ValidationError."""
        text = super().clean("" if value is None else str(value))
        if text == "":
            return None
        try:
            number = units.parse(text, self.kind, self.unit)
        except units.UnitError as error:
            raise ValidationError(str(error)) from error
        if self.above_zero and number <= 0:
            example = units.KINDS[self.kind].example
            raise ValidationError(f"Give more than nothing, such as {example}.")
        return number

    @property
    def base_unit(self) -> str:
        """The unit to print beside the box."""
        return self.unit or units.KINDS[self.kind].base


class VesselField(OfPremises, forms.CharField):
    """The code of a vessel of this plant, as a Vessel; *kinds* limits what is offered."""

    def __init__(self, *kinds: str, **options: Any) -> None:
        self.kinds = kinds
        super().__init__(max_length=40, **options)

    def clean(self, value: Any) -> Any:
        """The Vessel, or None. Raises ValidationError for an unknown code or another kind."""
        code = super().clean("" if value is None else str(value))
        if not code:
            return None
        vessel = Vessel.objects.filter(premises=self.premises, code=code).first()
        if vessel is None:
            raise ValidationError(f"There is no vessel “{code}” here. Choose one of the list.")
        if self.kinds and vessel.kind not in self.kinds:
            words = " or ".join(str(Vessel.Kind(kind).label) for kind in self.kinds)
            raise ValidationError(f"{code} is a {vessel.get_kind_display()}; this needs a {words}.")
        return vessel


class LotField(OfPremises, forms.CharField):
    """The code of a lot of this plant, as a Lot; *stages* limits what is taken."""

    def __init__(self, *stages: str, **options: Any) -> None:
        self.stages = stages
        super().__init__(max_length=60, **options)

    def clean(self, value: Any) -> Any:
        """The Lot, or None. Raises ValidationError for an unknown code or another stage."""
        code = super().clean("" if value is None else str(value))
        if not code:
            return None
        rows = Lot.objects.filter(premises=self.premises, code=code)
        lot = rows.select_related("designation").first()
        if lot is None:
            raise ValidationError(f"There is no lot “{code}” here. Choose one of the list.")
        if self.stages and lot.stage not in self.stages:
            raise ValidationError(f"Lot {code} is {lot.stage}; this needs {self.stages[0]}.")
        return lot


class _ListedField(OfPremises, forms.CharField):
    """The code of a row of one of the plant's own lists."""

    model: Any
    noun: str

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=40, **options)

    def clean(self, value: Any) -> Any:
        code = super().clean("" if value is None else str(value))
        if not code:
            return None
        row = self.model.objects.filter(premises=self.premises, code=code).first()
        if row is None:
            raise ValidationError(
                f"There is no {self.noun} “{code}” on the plant's list. Add it under Plant first."
            )
        return row


class MaterialField(_ListedField):
    """A material of the plant's list, by its code."""

    model, noun = Material, "material"


class ProductField(_ListedField):
    """A product of the plant's list, by its code."""

    model, noun = Product, "product"


class WhenField(OfPremises, forms.CharField):
    """The moment of the act in the plant's own time: `2026-01-29 18:30`; a day alone is noon."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=40, **options)

    def clean(self, value: Any) -> Any:
        """An aware datetime, or None. Raises ValidationError."""
        if isinstance(value, datetime):
            return value if value.tzinfo else value.replace(tzinfo=self._zone())
        text = super().clean("" if value is None else str(value))
        if not text:
            return None
        try:
            day = parse_date(text)
            moment = datetime.combine(day, time(12)) if day else parse_datetime(text)
        except ValueError:
            moment = None
        if moment is None or not 1990 <= moment.year <= 9000:
            raise ValidationError("Give the time like 2026-01-29 18:30.")
        return moment if moment.tzinfo else moment.replace(tzinfo=self._zone())

    def _zone(self) -> Any:
        if self.premises is None:
            raise LedgerError("A time needs a plant.")
        return self.premises.zone
