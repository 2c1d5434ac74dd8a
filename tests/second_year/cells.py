"""The cells of the forms as worked out by hand, and as the program filled them.

A cell is keyed by form, source, part, line, column and, where a kind is written in, the kind;
its value is in hundredths. Openings are what the month before closed with, unless a file says
otherwise; totals are added up here by the line numbers printed on the forms.
"""

import re
from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from functools import cache
from typing import NamedTuple

from reports.filled import FilledForm, FilledPart
from tests.second_year.year import MONTHS, file_of

LINE = re.compile(r"(\S+) (.+) (\S+) ([a-m])(?: \[(.+)\])?")
WRITTEN_IN = {("V", "1-8"), ("III", "5-8"), ("II", "8"), ("III", "memo")}
# (form, part): opening line -> closing line
CARRIED = {
    ("5110.11", ""): ("1", "23"),
    ("5110.28", "I"): ("1", "25"),
    ("5110.28", "II"): ("27", "46"),
}
# (form, part): total line -> first and last line added
TOTALS = {
    ("5110.40", "I"): {"14": (1, 13)},
    ("5110.11", ""): {"6": (1, 5), "24": (7, 23)},
    ("5110.28", "I"): {"8": (1, 7), "26": (9, 25)},
    ("5110.28", "II"): {"31": (27, 30), "47": (32, 46)},
    ("5110.28", "IV"): {"67": (48, 66)},
}
TOTAL_COLUMN = {("5110.40", "I"): "l", ("5110.11", ""): "m"}


class Key(NamedTuple):
    """Where a figure stands."""

    form: str
    source: str
    part: str
    line: str
    column: str
    kind: str = ""


Cells = Mapping[Key, int]


def hundredths(text: str) -> int:
    """A sum of products like ``95.10 - 60*1.20/3``, each term rounded half up to a hundredth."""
    total, sign = 0, 1
    for word in text.split():
        if word in "+-":
            sign = 1 if word == "+" else -1
            continue
        value = Fraction(1)
        for operator, number in re.findall(r"([*/]?)([\d.]+)", word):
            value = value / Fraction(number) if operator == "/" else value * Fraction(number)
        total += sign * int(value * 100 + Fraction(1, 2))
    return total


def key_of(text: str) -> Key:
    """The key of a cell told like ``5110.11 domestic 17 b`` or with ``[its kind]`` after it."""
    found = LINE.fullmatch(text)
    if found is None:
        raise ValueError(text)
    form, place, line, column, kind = found.groups()
    source, part = (place, "") if form == "5110.11" else ("", place)
    return Key(form, source, part, line, column, kind or "")


def _written(month: date) -> dict[Key, int]:
    found = {}
    for row in file_of(month, "cells").read_text(encoding="utf-8").splitlines():
        told, _, _ = row.partition("  #")
        if told and not told.startswith("#"):
            place, _, arithmetic = told.partition(" = ")
            found[key_of(place.strip())] = hundredths(arithmetic)
    return found


@cache
def by_hand(month: date) -> Cells:
    """Every cell of *month* that is not zero, without totals."""
    found = _written(month)
    if month != MONTHS[0]:
        for key, value in by_hand(MONTHS[MONTHS.index(month) - 1]).items():
            opening, closing = CARRIED.get((key.form, key.part), ("", ""))
            if key.line == closing:
                found.setdefault(key._replace(line=opening), value)
    return found


def with_totals(cells: Cells) -> Cells:
    """*cells* with the total lines of each column, and then the total column of each line."""
    found = dict(cells)
    for key, value in cells.items():
        for line, (first, last) in TOTALS.get((key.form, key.part), {}).items():
            if key.line.isdigit() and first <= int(key.line) <= last:
                total = key._replace(line=line)
                found[total] = found.get(total, 0) + value
    for key, value in list(found.items()):
        column = TOTAL_COLUMN.get((key.form, key.part))
        if column:
            total = key._replace(column=column)
            found[total] = found.get(total, 0) + value
    return found


def cells_of(form: str, source: str, part: FilledPart) -> Cells:
    """Every cell of a filled part that is not zero."""
    return {
        Key(form, source, part.part, row.of, column,
            row.caption if (part.part, row.of) in WRITTEN_IN else ""): cell.value
        for row in part.lines
        for column, cell in row.cells.items()
        if cell.value
    }  # fmt: skip


def filled(forms: Mapping[tuple[str, str], FilledForm]) -> Cells:
    """Every cell of the program's *forms* that is not zero."""
    found: dict[Key, int] = {}
    for form in forms.values():
        for part in form.parts:
            found |= cells_of(form.number.split()[-1], form.source, part)
    return found
