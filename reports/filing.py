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
from reports.faces.return_sheet import sheet_of_return
from reports.faces.sheet import Sheet, sheet_of_form, sheet_of_tax
from reports.faces.state_sheet import content_of_states, sheet_of_states
from reports.filled import FilledForm
from reports.forms import FORMS
from reports.month_book import read_month
from reports.month_end import Filings, filings_of
from reports.return_filing import render_returns, return_contents, returns_in
from reports.returns import RETURN, ReturnFigure, TaxYears
from reports.state_filing import render_states
from reports.state_periods import StatePeriod
from reports.state_tax import StateWorksheet, state_worksheet
from reports.suspended import is_due

TAX = "tax"
STATE = "state"
NAMES = (*FORMS, TAX, RETURN)  # what goes to the bureau for a month
ASKED = (*NAMES, STATE)  # what may be asked for by its name


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
    if name not in ASKED:
        raise BadFact(f"There is no form “{name}”; one of {', '.join(ASKED)}.")
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


Returns = tuple[TaxYears, list[ReturnFigure]]


def _content(
    filings: Filings, wanted: Wanted, returns: Returns | None, states: StateWorksheet | None
) -> Any:
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
    told = return_contents(*returns) if returns else []
    more = {STATE: content_of_states(states)} if states else {}
    return {**single, TAX: json.tax_content(filings.tax), RETURN: told, **more}


def _sheets(filings: Filings, wanted: Wanted) -> list[Sheet]:
    # A report that is not due is told when it is asked for, and not among all of them.
    return [
        sheet_of_form(form, checks_for(filings, form))
        for form in _forms(filings, wanted)
        if wanted.form or is_due(form)
    ]


def _other_sheets(
    filings: Filings, wanted: Wanted, returns: Returns | None, states: StateWorksheet | None
) -> list[Sheet]:
    """The tax of the month, the returns that touch it, and the States that spirits went to."""
    sheets = [sheet_of_tax(filings.tax)] if wanted.form in ("", TAX) else []
    sheets += [sheet_of_return(figure) for figure in (returns[1] if returns else ())]
    return [*sheets, sheet_of_states(states)] if states and states.states else sheets


def _returns(premises: Premises, month: date) -> Returns:
    today = timezone.now().astimezone(premises.zone).date()
    return returns_in(premises, month, today)


def _states(premises: Premises, month: date) -> StateWorksheet:
    return state_worksheet(premises, StatePeriod(month, "month"))


def render(premises: Premises, month: date, wanted: Wanted, format: str) -> bytes:
    """The filing as bytes. Raises BadFact for an unknown form, source or format."""
    check_format(format)
    if wanted.form:
        check_form(wanted.form)
    if wanted.form == RETURN:
        return render_returns(*_returns(premises, month), format)
    if wanted.form == STATE:
        return render_states(_states(premises, month), format)
    filings = filings_of(premises, month)
    if wanted.source and (wanted.form, wanted.source) not in filings.forms:
        raise BadFact(f"No {wanted.source} spirits were held or moved in {month:%B %Y}.")
    returns = None if wanted.form else _returns(premises, month)
    states = None if wanted.form else _states(premises, month)
    if format == "json":
        return json.render(_content(filings, wanted, returns, states))
    others = _other_sheets(filings, wanted, returns, states)
    if format == "xlsx":
        return xlsx.render(_workbook(filings, wanted), others)
    return render_sheets([*_sheets(filings, wanted), *others], format)


def _workbook(filings: Filings, wanted: Wanted) -> list[xlsx.FormBook]:
    moved = month_movements(filings.book)
    return [
        xlsx.FormBook(form, checks_for(filings, form), tuple(behind_form(form, moved)))
        for form in _forms(filings, wanted)
    ]
