"""An edition as plain data and back: what ``manage.py form_edition`` prints and takes.

Short on purpose: empty facts are left out, flows are words in which a bar separates
alternatives, as the tables of this folder write them.
"""

from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields
from datetime import date
from typing import Any

from ledger.accounts import ACCOUNTS
from ledger.errors import BadFact
from reports.forms.shape import Column, Edition, Flow, Line, Part, Rule

FACTS = ("class_code", "kind", "source", "box", "form", "material", "redistilled", "cooperage")
MEASURES = ("proof_gallons", "wine_gallons")


def edition_to_data(edition: Edition) -> dict[str, Any]:
    """*edition* as JSON takes it."""
    return {
        "name": edition.name,
        "effective": edition.effective.isoformat(),
        "parts": [_full(part) for part in edition.parts],
    }


def _full(row: Any) -> dict[str, Any]:
    """The facts of a part, column or line that are not at their defaults."""
    found = {}
    for field in fields(row):
        value = getattr(row, field.name)
        if field.default is MISSING or value != field.default:
            found[field.name] = _plain(value)
    return found


def _plain(value: Any) -> Any:
    if isinstance(value, Flow):
        words = {"from": "|".join(value.origins), "to": "|".join(value.ends)}
        found = {**words, "for": "|".join(value.purposes), "lot": value.side}
        return {**found, "changes": True} if value.changes else found
    if isinstance(value, Rule):
        return {"fact": value.fact, ("is" if value.inside else "is_not"): list(value.values)}
    if isinstance(value, (Part, Column, Line)):
        return _full(value)
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    return value


def edition_from_data(data: Mapping[str, Any]) -> Edition:
    """The edition of *data*. Raises BadFact with a sentence that says what does not fit."""
    try:
        effective = date.fromisoformat(str(data["effective"]))
        edition = Edition(
            str(data["name"]), effective, tuple(_part(one) for one in data["parts"])
        )  # fmt: skip
    except (KeyError, TypeError, AttributeError) as error:
        raise BadFact(f"The edition lacks or misspells {error}.") from error
    except ValueError as error:
        raise BadFact(f"The edition's first day is not a day: {error}.") from error
    if effective.day != 1:
        raise BadFact("An edition serves from the first day of a month.")
    for part in edition.parts:
        _check_sums(part)
    return edition


def _known(data: Mapping[str, Any], kind: type, **made: Any) -> Any:
    """*kind* from *data*; a word it does not know is refused."""
    names = {field.name for field in fields(kind)}
    strange = sorted(set(data) - names)
    if strange:
        raise BadFact(f"A {kind.__name__.lower()} has no “{strange[0]}”.")
    return kind(**{**data, **made})


def _part(data: Mapping[str, Any]) -> Part:
    return _known(
        data, Part,
        columns=tuple(_column(one) for one in data["columns"]),
        lines=tuple(_line(one) for one in data["lines"]),
    )  # fmt: skip


def _column(data: Mapping[str, Any]) -> Column:
    column: Column = _known(data, Column, **_lists(data, where=_rule, flows=_flow, sums=str))
    if column.measure not in MEASURES:
        raise BadFact(f"“{column.measure}” is not a measure; one of {', '.join(MEASURES)}.")
    return column


def _line(data: Mapping[str, Any]) -> Line:
    lists = _lists(data, where=_rule, flows=_flow, sums=str, write_in=str)
    return _known(data, Line, **lists)


def _lists(data: Mapping[str, Any], **readers: Callable[[Any], Any]) -> dict[str, Any]:
    return {name: tuple(read(one) for one in data.get(name, ())) for name, read in readers.items()}


def _rule(data: Mapping[str, Any]) -> Rule:
    if data["fact"] not in FACTS:
        raise BadFact(f"“{data['fact']}” is not a fact of a lot; one of {', '.join(FACTS)}.")
    inside = "is" in data
    return Rule(data["fact"], tuple(data["is" if inside else "is_not"]), inside)


def _flow(data: Mapping[str, Any]) -> Flow:
    origins, ends, purposes = (tuple(data[name].split("|")) for name in ("from", "to", "for"))
    for account in (*origins, *ends):
        if account not in ACCOUNTS:
            raise BadFact(f"“{account}” is not an account of the book.")
    if data["lot"] not in ("from", "to"):
        raise BadFact("A flow's lot is “from” or “to”.")
    return Flow(origins, ends, purposes, data["lot"], bool(data.get("changes")))


def _check_sums(part: Part) -> None:
    numbers = {line.number for line in part.lines}
    keys = {column.key for column in part.columns}
    for line in part.lines:
        for number in line.sums:
            if number not in numbers:
                raise BadFact(f"Line {line.number} adds line {number}, which is not there.")
    for column in part.columns:
        for key in column.sums:
            if key not in keys:
                raise BadFact(f"Column {column.key} adds column {key}, which is not there.")
