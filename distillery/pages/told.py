"""A record as filled in, told line by line: for the preview and for the book."""

from dataclasses import dataclass, field
from json import loads
from typing import Any

from distillery.cautions import words_seen
from distillery.forms import WhenField
from distillery.forms.parts import Part, PartField
from distillery.operations import operations

ENVELOPE_LABELS = {
    "confirm": "Confirmed", "late": "Booked late", "reason": "Reason", "note": "Note", "at": "When",
    "instead_of": "Recorded instead of №", "tablet": "Tablet",
}  # fmt: skip


@dataclass
class Line:
    """One thing filled in: its label and value, or lines inside it."""

    label: str
    value: str = ""
    inner: list["Line"] = field(default_factory=list)


def of_text(text: str) -> list[Line]:
    """The lines of a stored form."""
    return of_record(loads(text))


def of_record(data: dict[str, Any]) -> list[Line]:
    """The lines of a record, in the order of its form; what the form no longer has comes last."""
    operation = operations().get(str(data.get("operation")))
    fields = operation.form.base_fields if operation else {}
    names = [name for name in fields if name in data]
    names += [name for name in data if name not in fields and name not in ("operation", "key")]
    return [_line(name, data[name], fields.get(name)) for name in names if data[name] != []]


def _line(name: str, value: Any, asked: Any) -> Line:
    label = str(getattr(asked, "label", None) or ENVELOPE_LABELS.get(name) or _words(name))
    part = asked.part if isinstance(asked, PartField) else None
    if isinstance(value, dict):
        return Line(label, inner=_inside(value, part))
    if isinstance(value, list):
        if all(isinstance(row, dict) for row in value):
            rows = enumerate(value, 1)
            return Line(label, inner=[Line(str(n), inner=_inside(row, part)) for n, row in rows])
        return Line(label, ", ".join(_ticked(str(one)) for one in value))
    return Line(label, "yes" if value is True else _chosen(asked, str(value)))


def _inside(values: dict[str, Any], part: type[Part] | None) -> list[Line]:
    fields = part.base_fields if part else {}
    names = [*(name for name in fields if name in values), *(values.keys() - fields.keys())]
    return [_line(name, values[name], fields.get(name)) for name in names]


def _ticked(code: str) -> str:
    """The words of a caution that was ticked as seen, with their version; else the code itself."""
    words = words_seen(code)
    return f"seen “{words}” ({code})" if words else code


def _chosen(asked: Any, value: str) -> str:
    """The words of a choice, where the form offers one; a moment without its T."""
    if isinstance(asked, WhenField):
        return value.replace("T", " ")
    choices = getattr(asked, "choices", None) or ()
    return next((str(label) for code, label in choices if str(code) == value), value)


def _words(name: str) -> str:
    return name.replace("_", " ").capitalize()
