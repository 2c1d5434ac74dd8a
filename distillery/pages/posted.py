"""From a posted page to a record, and back into the page's hidden fields."""

from json import loads
from typing import Any

from django.http import QueryDict

from distillery.forms.parts import PartField, RowsField
from distillery.operations.base import Operation
from ledger.models import Entry

# What belongs to the page and not to the record.
OF_THE_PAGE = frozenset({"csrfmiddlewaretoken", "step", "digest", "confirm", "asked_once"})
TOLD = ("key", "late", "reason", "instead_of")
EMPTY: tuple[Any, ...] = (None, "", False, [], {})


def record_of(operation: Operation, posted: QueryDict) -> dict[str, Any]:
    """The record that a posted page holds, as a line of a records file would say it."""
    data: dict[str, Any] = {"operation": operation.slug, "confirm": posted.getlist("confirm")}
    data |= {name: posted.get(name) for name in TOLD}
    for name, field in operation.form.base_fields.items():
        value = field.widget.value_from_datadict(posted, {}, name)
        data[name] = _filled(value) if isinstance(field, PartField) else value
    return {name: value for name, value in data.items() if value not in EMPTY}


def _filled(value: Any) -> Any:
    """A part or rows without the boxes left empty."""
    if isinstance(value, list):
        return [_filled(one) for one in value]
    if isinstance(value, dict):
        return {name: one for name, one in value.items() if one not in EMPTY}
    return value


def fields_of(operation: Operation, data: dict[str, Any]) -> dict[str, Any]:
    """The part of a record that its form takes."""
    return {name: value for name, value in data.items() if name in operation.form.base_fields}


def carried(posted: QueryDict) -> list[tuple[str, str]]:
    """The posted values as they came, for the hidden fields of the next page."""
    return [
        (name, str(value))
        for name, values in posted.lists()
        if name not in OF_THE_PAGE
        for value in values
    ]


def carried_of(operation: Operation, posted: QueryDict) -> list[tuple[str, str]]:
    """Those of the record alone: a page of its own, as the row of barrels, has boxes beside it."""
    known = {*operation.form.base_fields, *TOLD}
    return [pair for pair in carried(posted) if pair[0].partition("-")[0] in known]


def of_entry(operation: Operation, entry: Entry) -> dict[str, Any]:
    """An entry's form as filled in, to be mended and recorded instead of it."""
    filled = loads(entry.form)
    same = filled.get("operation") == operation.slug
    return fields_of(operation, filled) if same else {}


def started(operation: Operation, query: QueryDict) -> dict[str, Any]:
    """What the address fills in: ``?vessel=CODE`` goes where the operation takes its vessel,
    and every other name to the field of that name, inside a part by ``name-field``."""
    names = operation.form.base_fields
    initial: dict[str, Any] = {name: value for name, value in query.items() if name in names}
    for name, field in names.items():
        if isinstance(field, PartField):
            widget: Any = field.widget
            inside = widget.value_from_datadict(query, {}, name)
            if isinstance(inside, dict | list):
                initial[name] = inside
    vessel = query.get("vessel")
    outer, _, inner = operation.vessel_field.partition("-")
    if vessel and outer in names:
        rows = isinstance(names[outer], RowsField)
        initial[outer] = ([{inner: vessel}] if rows else {inner: vessel}) if inner else vessel
    return initial
