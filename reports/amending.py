"""What was filed against what the book says now: by cell, and through the later months."""

from collections import Counter
from dataclasses import dataclass
from datetime import date

from ledger.models import Premises
from reports.filled import FilledForm, FilledLine
from reports.kept import from_text
from reports.models import Filed
from reports.month_book import read_book
from reports.month_end import forms_of


@dataclass(frozen=True, slots=True)
class Change:
    """One figure that differs: where it stands, as filed and as it is now, in hundredths."""

    part: str
    line: str
    caption: str
    column: str
    filed: int
    now: int

    @property
    def difference(self) -> int:
        """Now less filed."""
        return self.now - self.filed


@dataclass(frozen=True, slots=True)
class ToAmend:
    """A filed report that no longer says what the book says."""

    filed: Filed
    now: FilledForm
    changes: tuple[Change, ...]


Figures = dict[tuple[str, str, str], tuple[FilledLine, int]]


def _figures(form: FilledForm) -> Figures:
    """(part, row, column) -> (line, value) of every figure that is not zero.

    A row is told by the form's own line; rows written in under one line, by their kind.
    """
    shared = Counter((part.part, line.of) for part in form.parts for line in part.lines)
    found: Figures = {}
    for part, line, key, cell in form.every_cell():
        if cell.value:
            row = line.of if shared[part.part, line.of] == 1 else f"{line.of} {line.caption}"
            found[part.part, row, key] = (line, cell.value)
    return found


def changes(filed: FilledForm, now: FilledForm) -> tuple[Change, ...]:
    """Every figure that differs, in the order of the form as it is now, then what fell away."""
    before, after = _figures(filed), _figures(now)
    found = []
    for place in [*after, *(place for place in before if place not in after)]:
        line, _ = after.get(place) or before[place]
        was = before[place][1] if place in before else 0
        this = after[place][1] if place in after else 0
        if was != this:
            found.append(Change(place[0], line.number, line.caption, place[2], was, this))
    return tuple(found)


def latest(premises: Premises, *, since: date | None = None) -> list[Filed]:
    """The newest version of each filed report, oldest month first; returns are not amended."""
    rows = Filed.objects.filter(premises=premises).exclude(form="return")
    rows = rows.exclude(form__startswith="state-")  # compared on their own page
    if since:
        rows = rows.filter(begin__gte=since)
    newest = {(row.form, row.source, row.begin): row for row in rows.order_by("version")}
    return sorted(newest.values(), key=lambda row: (row.begin, row.form, row.source))


def to_amend(premises: Premises, *, since: date | None = None) -> list[ToAmend]:
    """Every filed report whose figures have changed, oldest month first.

    A correction of one month moves the openings of all later ones, so they show here too until
    an amended report is filed for each.
    """
    found = []
    rows = latest(premises, since=since)
    for month in sorted({row.begin for row in rows}):
        forms = forms_of(read_book(premises, month))
        for row in (row for row in rows if row.begin == month):
            now = forms.get((row.form, row.source))
            if now is None:
                continue
            differing = changes(from_text(row.content)[0], now)
            if differing:
                found.append(ToAmend(row, now, differing))
    return found
