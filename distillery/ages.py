"""Age: time in oak only, as years, months and days (27 CFR 5.1, 5.74, 19.328, 19.592(d)(5)).

A lot in wood ages since ``aged_from``; out of wood it does not age. The spells that are over are
kept with it as ISO 8601 durations. Charred new oak is kept apart from other wood, since for some
whiskies nothing else counts. Pure: a lot is anything with the facts of ledger.plan.NewLot.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

NEW, OTHER = "new", "other"
WOODS = {NEW: "charred new oak", OTHER: "other wood"}
# Whiskies of which only time in charred new oak is age (27 CFR 5.1 "age", 5.143(b)).
NEW_OAK_TYPES = frozenset({"bourbon", "rye", "wheat", "malt", "straight"})
# Straight corn, American single malt, and whisky distilled from bourbon mash are not bound so.
ANY_OAK_TYPES = frozenset({"corn", "single", "mash"})
_ISO = re.compile(r"P(?:(\d+)Y)?(?:(\d+)M)?(?:(\d+)D)?", re.ASCII)
_TOLD = re.compile(
    r"(?:(\d+) ?y(?:ears?)?)?[ ,]*(?:(\d+) ?m(?:onths?)?)?[ ,]*(?:(\d+) ?d(?:ays?)?)?", re.ASCII
)


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """Years, months and days; sums carry 30 days to a month and 12 months to a year."""

    years: int = 0
    months: int = 0
    days: int = 0

    def __bool__(self) -> bool:
        return bool(self.years or self.months or self.days)

    def __add__(self, more: "Span") -> "Span":
        # One spell alone stays by the calendar; only a sum carries at 30 days.
        if not (self and more):
            return self or more
        return _carried(self._in_days() + more._in_days())

    def __sub__(self, less: "Span") -> "Span":
        return _carried(max(0, self._in_days() - less._in_days()))

    def _in_days(self) -> int:
        return (self.years * 12 + self.months) * 30 + self.days

    @property
    def iso(self) -> str:
        """ISO 8601, like ``P2Y3M14D``; "" for nothing."""
        parts = ((self.years, "Y"), (self.months, "M"), (self.days, "D"))
        told = "".join(f"{number}{letter}" for number, letter in parts if number)
        return f"P{told}" if told else ""

    def __str__(self) -> str:
        parts = ((self.years, "year"), (self.months, "month"), (self.days, "day"))
        told = [f"{number} {word}{'' if number == 1 else 's'}" for number, word in parts if number]
        return " ".join(told) or "0 days"


def _carried(days: int) -> Span:
    months, days = divmod(days, 30)
    return Span(*divmod(months, 12), days)


NONE = Span()


@dataclass(frozen=True, slots=True)
class Age:
    """Time in charred new oak, and in any other wood."""

    new: Span = NONE
    other: Span = NONE

    def spells(self) -> list[tuple[str, Span]]:
        """(wood, time in it), what is nothing left out."""
        return [(wood, span) for wood, span in ((NEW, self.new), (OTHER, self.other)) if span]

    @property
    def total(self) -> Span:
        """All time in oak."""
        return self.new + self.other

    def counted(self, class_code: str, type_code: str) -> Span:
        """What counts as the age of spirits of that class and type."""
        return self.new if counts_new_only(class_code, type_code) else self.total


def between(start: date, end: date) -> Span:
    """One spell by the calendar: whole years, months and days; nothing if *end* is before.

    From the 31st the month is over on the last day of a shorter month.
    """
    if end <= start:
        return NONE
    months = (end.year - start.year) * 12 + end.month - start.month - (end.day < start.day)
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    next_month = date(year + (month == 11), (month + 1) % 12 + 1, 1)
    last = (next_month - date(year, month + 1, 1)).days
    days = (end - date(year, month + 1, min(start.day, last))).days
    return Span(*divmod(months, 12), days)


def span_of(iso: str) -> Span:
    """The span of an ISO 8601 duration of years, months and days; ValueError for anything else."""
    if not iso:
        return NONE
    found = _ISO.fullmatch(iso)
    if found is None or iso == "P":
        raise ValueError(f"“{iso}” is no duration like P2Y3M14D.")
    return Span(*(int(part or 0) for part in found.groups()))


def read(text: str) -> Span:
    """What a person writes: ``2 years 3 months 14 days``, ``2y 3m``, ``P2Y3M``. ValueError."""
    text = " ".join(text.split()).lower()
    if not text:
        return NONE
    if text.startswith("p"):
        return span_of(text.upper())
    found = _TOLD.fullmatch(text)
    if found is None or not any(found.groups()):
        raise ValueError(f"“{text}” is no age like 2 years 3 months 14 days.")
    return _carried(Span(*(int(part or 0) for part in found.groups()))._in_days())


def counts_new_only(class_code: str, type_code: str) -> bool:
    """Whether only charred new oak makes age for this kind (27 CFR 5.1, 5.143)."""
    if not class_code.startswith("whisky"):
        return False
    words = set(type_code.lower().replace("-", " ").split())
    return bool(words & NEW_OAK_TYPES) and not words & ANY_OAK_TYPES


def age_on(lot: Any, day: date) -> Age:
    """The age of *lot* on *day*: its spells that are over and the one that runs."""
    age = Age(span_of(lot.aged_new), span_of(lot.aged_other))
    if not lot.wood or lot.aged_from is None:
        return age
    spell = between(lot.aged_from, day)
    if lot.wood == NEW:
        return Age(age.new + spell, age.other)
    return Age(age.new, age.other + spell)


def counted_on(lot: Any, day: date) -> Span:
    """The age that may be told of *lot* (in the book, or about to be) on *day*."""
    kind = getattr(lot, "designation", lot)
    return age_on(lot, day).counted(kind.class_code, kind.type_code)


def in_no_wood(age: Age) -> dict[str, Any]:
    """The facts of a lot of that *age* which stands outside wood."""
    return {
        "wood": "", "aged_from": None, "aged_new": age.new.iso, "aged_other": age.other.iso,
    }  # fmt: skip


def in_wood(age: Age, *, wood: str, day: date) -> dict[str, Any]:
    """The facts of a lot of that *age* which stands in *wood* since *day*."""
    return in_no_wood(age) | {"wood": wood, "aged_from": day}


def youngest(ages: Iterable[Age], *, new_only: bool = False) -> Age:
    """The age of all mingled: that of the youngest (27 CFR 19.328), so never overstated.

    The least time in charred new oak; and the least time in oak at all, or with *new_only* the
    least in other wood.
    """
    found = list(ages)
    if not found:
        return Age()
    new = min(one.new for one in found)
    if new_only:
        return Age(new, min(one.other for one in found))
    least = min(found, key=lambda one: one.total)
    return least if least.new == new else Age(new, least.total - new)
