"""A filled form as canonical text and back: what a filed month is printed from.

The flows behind a cell are not kept: a filed figure is explained by what was recorded, a live
one by the book. The text is the same for the same figures, on either database.
"""

import json
from collections.abc import Sequence
from dataclasses import asdict
from datetime import date
from typing import Any

from reports.checks import Check
from reports.filled import Cell, FilledColumn, FilledForm, FilledLine, FilledPart

VERSION = 1


def to_text(form: FilledForm, checks: Sequence[Check]) -> str:
    """*form* with its *checks* as canonical JSON."""
    body = {
        "version": VERSION,
        "form": {
            **{name: getattr(form, name) for name in _PLAIN},
            "month": form.month.isoformat(),
            "notes": list(form.notes),
            "through": list(form.through),
            "parts": [_part(part) for part in form.parts],
        },
        "checks": [asdict(one) for one in checks],
    }
    return json.dumps(body, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


_PLAIN = ("slug", "number", "title", "edition", "registry", "plant", "status", "source")


def _part(part: FilledPart) -> dict[str, Any]:
    return {
        "part": part.part,
        "title": part.title,
        "status": part.status,
        "notes": list(part.notes),
        "columns": [asdict(column) for column in part.columns],
        "lines": [_line(line) for line in part.lines],
    }


def _line(line: FilledLine) -> dict[str, Any]:
    names = ("number", "caption", "of", "status", "note", "is_total")
    cells = {key: cell.value for key, cell in line.cells.items()}
    return {**{name: getattr(line, name) for name in names}, "cells": cells}


def from_text(text: str) -> tuple[FilledForm, tuple[Check, ...]]:
    """The form and its checks as they were kept."""
    body = json.loads(text)
    form, checks = (
        body["form"],
        tuple(Check(**{**one, "lines": tuple(one["lines"])}) for one in body["checks"]),
    )
    number, seal = form["through"]
    filled = FilledForm(
        **{name: form[name] for name in _PLAIN},
        month=date.fromisoformat(form["month"]),
        parts=tuple(_read_part(part) for part in form["parts"]),
        notes=tuple(form["notes"]),
        through=(number, seal),
    )
    return filled, checks


def _read_part(part: dict[str, Any]) -> FilledPart:
    columns = tuple(FilledColumn(**column) for column in part["columns"])
    order = [column.key for column in columns]
    return FilledPart(
        part["part"], part["title"], columns,
        tuple(_read_line(line, order) for line in part["lines"]),
        part["status"], tuple(part["notes"]),
    )  # fmt: skip


def _read_line(line: dict[str, Any], order: list[str]) -> FilledLine:
    cells = {key: Cell(line["cells"][key]) for key in order if key in line["cells"]}
    return FilledLine(**{**line, "cells": cells})
