"""A month's reports with what became of each: to file, filed, to amend."""

from dataclasses import dataclass

from reports import amending
from reports.addresses import file_address, form_address
from reports.faces.sheet import source_title
from reports.filled import FilledForm
from reports.kept import from_text
from reports.models import Filed
from reports.month_end import Filings
from reports.suspended import is_due


@dataclass(frozen=True, slots=True)
class Paper:
    """One report of a month: its page, its state in words, and where it is filed."""

    title: str
    address: str
    state: str
    filed: Filed | None
    file_address: str


def papers(filings: Filings) -> list[Paper]:
    """Each report of the month; ``file_address`` is empty where there is nothing to file now."""
    book = filings.book
    rows = Filed.objects.filter(premises=book.premises, begin=book.month).order_by("version")
    newest = {(row.form, row.source): row for row in rows}
    return [
        _paper(form, newest.get(key), is_open=book.is_open) for key, form in filings.forms.items()
    ]


def _paper(form: FilledForm, filed: Filed | None, *, is_open: bool) -> Paper:
    of = f" ({source_title(form.source)})" if form.source else ""
    state, to_file = _state(form, filed, is_open=is_open)
    address = file_address(form.month, form.slug, form.source) if to_file else ""
    return Paper(f"{form.title}, {form.number}{of}", form_address(form), state, filed, address)


def _state(form: FilledForm, filed: Filed | None, *, is_open: bool) -> tuple[str, bool]:
    if filed is None and not is_due(form):
        return "not due, production is suspended by notice", False
    if filed is None:
        return ("to close first" if is_open else "to file"), not is_open
    words = "amended report filed" if filed.is_amended else "filed"
    state = f"{words} {filed.filed_on.day} {filed.filed_on:%b %Y}"
    if amending.changes(from_text(filed.content)[0], form):
        return f"{state}, to amend", True
    return state, False
