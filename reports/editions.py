"""Which edition of a form serves a month, as a plant has it: code, added data, checked lines.

The tables in reports/forms are what the project knows; an edition added as data wins for its
months, and a line that a person checked against the official form carries its printed number
and caption and is no longer marked.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from distillery.models import DatedSetting
from distillery.models.plant import Rulebook
from ledger.models import Premises
from reports.forms.as_data import edition_from_data
from reports.forms.shape import READ, Edition, Form, Line, Part
from reports.models import AddedEdition, CheckedLine

Checked = dict[tuple[str, str, str, str], CheckedLine]


@dataclass(frozen=True)
class Editions:
    """The editions in force at one plant."""

    added: dict[str, tuple[Edition, ...]]
    checked: Checked
    rules: Rulebook

    def edition_for(self, form: Form, month: date) -> Edition:
        """The edition of *form* that serves *month*, with the plant's words.

        Raises BadFact before the first known edition.
        """
        known = replace(form, editions=(*form.editions, *self.added.get(form.slug, ())))
        edition = known.edition_for(month)
        parts = tuple(self._worded(form, edition, part) for part in edition.parts)
        return replace(edition, parts=parts)

    def is_gross(self, month: date) -> bool:
        """Whether spirits redistilled in processing are told gross in *month* (its first day)."""
        return self.rules.value_on(DatedSetting.Name.REDISTILLED, month) == "gross"

    def _worded(self, form: Form, edition: Edition, part: Part) -> Part:
        lines = tuple(
            _with_words(line, self.checked.get((form.slug, edition.name, part.part, line.number)))
            for line in part.lines
        )
        is_read = all(line.status == READ or line.checked for line in lines)
        return replace(part, lines=lines, status=READ if is_read else part.status)


def _with_words(line: Line, row: CheckedLine | None) -> Line:
    if row is None:
        return line
    return replace(line, status=READ, caption=row.caption, printed=row.printed, checked=True)


def read_editions(premises: Premises) -> Editions:
    """Everything that bears on the forms of *premises*, in three queries."""
    added: dict[str, tuple[Edition, ...]] = {}
    for row in AddedEdition.objects.all():
        added[row.form] = (*added.get(row.form, ()), edition_from_data(row.content))
    rows = CheckedLine.objects.filter(premises=premises)
    return Editions(added, newest(rows), DatedSetting.all_of(premises))


def newest(rows: Iterable[CheckedLine]) -> Checked:
    """The newest check of each line."""
    return {(row.form, row.edition, row.part, row.line): row for row in rows}


def to_check(parts: Iterable[Part]) -> list[tuple[Part, Line]]:
    """The lines still marked: not read in the official form, and not checked by anyone."""
    return [
        (part, line)
        for part in parts
        for line in part.lines
        if not line.checked and (part.status != READ or line.status != READ)
    ]
