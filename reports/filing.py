"""One filing in one format: what the command prints and the pages hand out."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils import timezone

from ledger.errors import BadFact
from ledger.models import Premises
from ledger.posting import month_of
from reports.behind_all import behind_form, month_movements
from reports.checks import Check
from reports.faces import check_format, json, render_sheets, xlsx
from reports.faces.sheet import Sheet, sheet_of_form, sheet_of_tax
from reports.filled import FilledForm
from reports.forms import FORMS
from reports.month_book import read_month
from reports.month_end import Filings, filings_of
from reports.suspended import is_due

TAX = "tax"
NAMES = (*FORMS, TAX)


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which filing: the form ("" for all of them), and for storage one source or all."""

    form: str = ""
    source: str = ""


def month_to_file(premises: Premises, text: str) -> date:
    """The month written in *text*. Raises BadFact for no month, or one that has not begun."""
    month = read_month(text)
    if month > month_of(premises, timezone.now()):
        raise BadFact(f"{month:%B %Y} has not begun.")
    return month


def check_form(name: str) -> str:
    """*name* if it is a filing. Raises BadFact otherwise."""
    if name not in NAMES:
        raise BadFact(f"There is no form “{name}”; one of {', '.join(NAMES)}.")
    return name


def checks_for(filings: Filings, form: FilledForm) -> Sequence[Check]:
    """The checks that *form* takes part in; of another source's report none."""
    short = form.number.removeprefix("TTB F ")
    others = {f"-{source}" for slug, source in filings.forms if source and source != form.source}
    return [
        one for one in filings.checks
        if short in one.title and not any(one.id.endswith(tag) for tag in others)
    ]  # fmt: skip


def _forms(filings: Filings, wanted: Wanted) -> list[FilledForm]:
    return [
        form
        for (slug, source), form in filings.forms.items()
        if wanted.form in ("", slug) and wanted.source in ("", source)
    ]


def _content(filings: Filings, wanted: Wanted) -> Any:
    """JSON: one object; a list for storage, one a source; all filings by name."""
    if wanted.form == TAX:
        return json.tax_content(filings.tax)
    found = [
        (form.slug, json.form_content(form, checks_for(filings, form)))
        for form in _forms(filings, wanted)
    ]
    if wanted.form == "storage":
        return [content for _, content in found]
    if wanted.form:
        return found[0][1]
    names = {name: [c for slug, c in found if slug == name] for name in FORMS}
    single = {name: cs if FORMS[name].by_source else cs[0] for name, cs in names.items()}
    return {**single, TAX: json.tax_content(filings.tax)}


def _sheets(filings: Filings, wanted: Wanted) -> list[Sheet]:
    sheets = []
    if wanted.form != TAX:
        # A report that is not due is told when it is asked for, and not among all of them.
        for form in _forms(filings, wanted):
            if not (wanted.form or is_due(form)):
                continue
            sheets.append(sheet_of_form(form, checks_for(filings, form)))
    if wanted.form in ("", TAX):
        sheets.append(sheet_of_tax(filings.tax))
    return sheets


def render(premises: Premises, month: date, wanted: Wanted, format: str) -> bytes:
    """The filing as bytes. Raises BadFact for an unknown form, source or format."""
    check_format(format)
    if wanted.form:
        check_form(wanted.form)
    filings = filings_of(premises, month)
    if wanted.source and (wanted.form, wanted.source) not in filings.forms:
        raise BadFact(f"No {wanted.source} spirits were held or moved in {month:%B %Y}.")
    if format == "json":
        return json.render(_content(filings, wanted))
    if format == "xlsx":
        return xlsx.render(*_workbook(filings, wanted))
    return render_sheets(_sheets(filings, wanted), format)


def _workbook(filings: Filings, wanted: Wanted) -> tuple[list[xlsx.FormBook], list[Sheet]]:
    moved = month_movements(filings.book)
    forms = [] if wanted.form == TAX else _forms(filings, wanted)
    books = [
        xlsx.FormBook(form, checks_for(filings, form), tuple(behind_form(form, moved)))
        for form in forms
    ]
    return books, [sheet_of_tax(filings.tax)] if wanted.form in ("", TAX) else []
