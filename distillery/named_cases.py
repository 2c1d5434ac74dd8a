"""Case numbers as a record names them: ``41-43, 50, A7, 43R`` (27 CFR 19.490).

The law lets cases be withdrawn without their numbers (27 CFR 19.581(g)); a plant that keeps them
can tell from a number who has the case.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from json import loads
from typing import Any

from distillery.case_serials import SERIES, Serials
from ledger.models import Entry

# ASCII digits alone: a number is marked on the case in those.
_ONE = r"(?P<{0}letters>[A-Z]{{0,4}})(?P<{0}>[0-9]{{1,7}})"
_RANGE = re.compile(
    rf"{_ONE.format('first')}(?:\s*(?:-|–|to)\s*{_ONE.format('last')})?(?P<remnant>R?)",
    re.IGNORECASE,
)
FIELDS = ("serials", "case_serials")


@dataclass(frozen=True, slots=True)
class Cases:
    """Cases of one series from the *first* to the *last* number, as marked; or a remnant case."""

    letters: str
    first: int
    last: int
    is_remnant: bool = False

    @property
    def count(self) -> int:
        """How many cases these are."""
        return self.last - self.first + 1

    def meets(self, other: "Cases") -> bool:
        """Whether any case is in both."""
        same = (self.letters, self.is_remnant) == (other.letters, other.is_remnant)
        return same and self.first <= other.last and other.first <= self.last

    def lies_in(self, others: "list[Cases]") -> bool:
        """Whether every case is in one of *others*, which may follow on each other."""
        at = self.first
        for one in sorted((o for o in others if self.meets(o)), key=lambda one: one.first):
            if one.first > at:
                return False
            at = max(at, one.last + 1)
        return at > self.last

    def __str__(self) -> str:
        mark = "R" if self.is_remnant else ""
        ends = (self.first,) if self.first == self.last else (self.first, self.last)
        return "–".join(f"{self.letters}{number}{mark}" for number in ends)


class Unread(ValueError):
    """Words that are no case numbers; the text is a sentence."""


def read_cases(text: str) -> list[Cases]:
    """The cases that *text* names, in its order. Raises Unread."""
    words = [word.strip() for word in re.split(r"[,;\n]|\band\b", text)]
    return [_read(word) for word in words if word]


def _read(word: str) -> Cases:
    match = _RANGE.fullmatch(word)
    if not match:
        raise Unread(f"“{word[:40]}” is no case number. Write them like 41-43, 50, A7 or 43R.")
    letters, first = match["firstletters"].upper(), int(match["first"])
    last = int(match["last"] or first)
    if (match["lastletters"] or letters).upper() != letters:
        raise Unread(f"“{word[:40]}” goes from one series to another. Write each by itself.")
    if not 1 <= first <= last <= SERIES:
        raise Unread(f"“{word[:40]}” does not go from a lower to a higher number, 1 to 1,000,000.")
    if match["remnant"] and first != last:
        raise Unread(f"“{word[:40]}”: a remnant case, marked R, is named by itself.")
    return Cases(letters, first, last, bool(match["remnant"]))


def cases_read(text: str) -> list[Cases]:
    """Like read_cases; none where the words are not read, as in records kept before."""
    try:
        return read_cases(text)
    except Unread:
        return []


def marked(serials: Serials) -> list[Cases]:
    """The cases that kept numbers stand for."""
    return cases_read(str(serials))


def rows_of(form: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """(lot, case numbers) as each row of a record's form tells them."""
    for value in form.values():
        for row in value if isinstance(value, list) else ():
            if isinstance(row, dict) and isinstance(row.get("lot"), str):
                text = next((row[name] for name in FIELDS if row.get(name)), "")
                if isinstance(text, str) and text.strip():
                    yield row["lot"], text.strip()


def told_of(form: dict[str, Any], lot: str) -> str:
    """The case numbers that a record names for *lot*, as typed; empty where it names none."""
    return ", ".join(text for code, text in rows_of(form) if code.casefold() == lot.casefold())


def named_by(entry: Entry, lot: str) -> list[Cases]:
    """The cases of *lot* that *entry* names."""
    return cases_read(told_of(loads(entry.form or "{}"), lot))
