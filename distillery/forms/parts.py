"""A field made of fields: one part, like a gauge, or rows of them, like a grain bill.

In a record file a part is a JSON object and rows are a list of objects; in a posted page the
same values come as ``name-field`` and ``name-0-field``. Both reach the same forms.
"""

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from distillery.forms.fields import OfPremises
from ledger.models import Premises


class Part(forms.Form):
    """A small form inside a record's form."""

    def __init__(self, *args: Any, premises: Premises | None = None, **options: Any) -> None:
        options.setdefault("use_required_attribute", False)
        super().__init__(*args, **options)
        self.premises = premises
        for field in self.fields.values():
            if isinstance(field, OfPremises):
                field.premises = premises

    @classmethod
    def is_blank(cls, values: Any) -> bool:
        """Whether nothing at all was filled in."""
        return not isinstance(values, dict) or not any(
            str(value).strip() for value in values.values() if value is not None
        )

    def sentences(self) -> list[str]:
        """What is wrong, each sentence led by its field's label."""
        found = []
        for name, errors in self.errors.items():
            label = f"{self[name].label}: " if name in self.fields else ""
            found += [f"{label}{error}" for error in errors]
        return found


def _check_names(part: type[Part], values: dict[str, Any]) -> None:
    known = part.base_fields
    for name in values:
        if name not in known:
            raise ValidationError(f"There is no “{name}” here; one of: {', '.join(known)}.")


class PartWidget(forms.Widget):
    """Reads one part, and gives it back bound to what was filled in, for a page to draw."""

    part: type[Part]
    premises: Premises | None = None
    is_checked = False

    def value_from_datadict(self, data: Any, files: Any, name: str) -> Any:
        """The object of a record, or the posted fields that begin with the name."""
        if isinstance(data.get(name), dict | list):
            return data.get(name)
        start = f"{name}-"
        found = {key[len(start) :]: data.get(key) for key in data if key.startswith(start)}
        return found or data.get(name)

    def id_for_label(self, id_: str) -> str:
        """A part is a group; its label is a legend and points nowhere."""
        return ""

    def _bound(self, values: dict[str, Any]) -> Part:
        # Bound as PartField.one binds it, without a prefix, so that it says the same of it.
        if self.is_checked and not self.part.is_blank(values):
            return self.part(values, premises=self.premises)
        return self.part(initial=values, premises=self.premises)

    def parts(self, value: Any) -> list[Part]:
        """The part to draw, bound to *value*."""
        return [self._bound(value if isinstance(value, dict) else {})]


class RowsWidget(PartWidget):
    """Reads rows of parts, and gives a few empty ones below them to draw."""

    spare = 1

    def value_from_datadict(self, data: Any, files: Any, name: str) -> Any:
        """The list of a record, or the posted rows in their order, empty ones left out."""
        if isinstance(data.get(name), dict | list):
            return data.get(name)
        pattern = re.compile(rf"{re.escape(name)}-(\d{{1,4}})-(.+)\Z")
        rows: dict[int, dict[str, Any]] = {}
        for key in data:
            if found := pattern.match(key):
                rows.setdefault(int(found[1]), {})[found[2]] = data.get(key)
        filled = [rows[index] for index in sorted(rows) if not self.part.is_blank(rows[index])]
        return filled or data.get(name)

    def parts(self, value: Any) -> list[Part]:
        """The rows to draw: those of *value*, then the spare ones."""
        rows = [row for row in value if isinstance(row, dict)] if isinstance(value, list) else []
        return [self._bound(row) for row in [*rows, *({} for _ in range(self.spare))]]


class PartField(OfPremises, forms.Field):
    """One part; ``clean`` gives what ``result`` makes of its cleaned fields."""

    widget = PartWidget

    def __init__(self, part: type[Part], **options: Any) -> None:
        self.part = part
        super().__init__(**options)
        self.widget.part = part

    def result(self, part: Part) -> Any:
        """What the plan gets: the cleaned fields of the part."""
        return part.cleaned_data

    def one(self, values: Any) -> Any:
        """Check one part's *values*; raises ValidationError with every sentence."""
        if not isinstance(values, dict):
            raise ValidationError("Give these as named fields, like a JSON object.")
        _check_names(self.part, values)
        part = self.part(values, premises=self.premises)
        if not part.is_valid():
            raise ValidationError(part.sentences())
        return self.result(part)

    def clean(self, value: Any) -> Any:
        """The part's result, or None when empty and not required."""
        if not value or (isinstance(value, dict) and self.part.is_blank(value)):
            if self.required:
                raise ValidationError(self.error_messages["required"])
            return None
        return self.one(value)


class RowsField(PartField):
    """A list of parts: at least one when required, at most *most*."""

    widget = RowsWidget

    def __init__(self, part: type[Part], *, most: int = 200, **options: Any) -> None:
        super().__init__(part, **options)
        self.most = most

    def clean(self, value: Any) -> Any:
        """A list of the rows' results."""
        if not value:
            if self.required:
                raise ValidationError("Fill in at least one row.")
            return []
        if not isinstance(value, list):
            raise ValidationError("Give these as a list of rows.")
        if len(value) > self.most:
            raise ValidationError(f"At most {self.most} rows go into one record.")
        results, wrong = [], []
        for number, values in enumerate(value, 1):
            try:
                results.append(self.one(values))
            except ValidationError as error:
                wrong += [f"Row {number}: {sentence}" for sentence in error.messages]
        if wrong:
            raise ValidationError(wrong)
        return results
