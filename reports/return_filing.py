"""Marking a return as filed: once, after its period, in order; kept as it was told."""

import json
from dataclasses import replace
from datetime import date, datetime, timedelta
from hashlib import sha256
from typing import Any

from django.db import transaction
from django.utils import timezone

from ledger.errors import BadFact
from ledger.models import Premises
from ledger.posting import lock, next_month
from reports.faces import json as json_face
from reports.faces import pdf, render_sheets
from reports.faces.return_sheet import content_of, sheet_of_return
from reports.models import Filed
from reports.return_kept import figure_as_filed
from reports.returns import RETURN, YEARS_BACK, ReturnFigure, TaxYears, read_years, return_figure
from reports.told import Told


def years_for(premises: Premises, day: date) -> TaxYears:
    """The years that a return of *day* rests on, up to what is booked now."""
    until = max(day.year, timezone.now().year)
    return read_years(premises, since=day.year - YEARS_BACK, until=until)


def told_figure(years: TaxYears, day: date, today: date) -> ReturnFigure:
    """The return that holds *day* as it was filed, else as it stands."""
    found = return_figure(years, day, today=today)
    return figure_as_filed(found.filed) if found.filed else found


def returns_in(premises: Premises, month: date, today: date) -> tuple[TaxYears, list[ReturnFigure]]:
    """The returns whose periods touch *month* (its first day)."""
    last = min(next_month(month) - timedelta(days=1), today)
    years = years_for(premises, last)
    periods = [period for period in years.returns(last) if period.end >= month]
    return years, [told_figure(years, period.begin, today) for period in periods]


def render_returns(years: TaxYears, figures: list[ReturnFigure], format: str) -> bytes:
    """Returns in one format; JSON is a list."""
    if format == "json":
        return json_face.render(return_contents(years, figures))
    return render_sheets([sheet_of_return(figure) for figure in figures], format)


def return_contents(years: TaxYears, figures: list[ReturnFigure]) -> list[dict[str, Any]]:
    """Each return as its kept or its present content."""
    return [_content(years, figure) for figure in figures]


def _content(years: TaxYears, figure: ReturnFigure) -> dict[str, Any]:
    if figure.filed:
        kept: dict[str, Any] = json.loads(figure.filed.content)
        return kept
    return content_of(figure, years.in_period(figure.period))


def figure_on(premises: Premises, day: date, *, now: datetime | None = None) -> ReturnFigure:
    """The return that holds *day*, as it stands now."""
    today = (now or timezone.now()).astimezone(premises.zone).date()
    return return_figure(years_for(premises, day), day, today=today)


def _check(years: TaxYears, figure: ReturnFigure, told: Told, today: date) -> None:
    period = figure.period
    if figure.filed:
        raise BadFact(
            f"Return {period.serial} is filed. What changed since is adjusted on the next one."
        )
    if today <= period.end:
        raise BadFact(f"The period of {period.serial} has not ended.")
    first = years.first_unfiled(period.end)
    if first and first.begin < period.begin:
        raise BadFact(f"File {first.serial} first.")
    if told.filed_on > today:
        raise BadFact("That day has not come yet.", field="filed_on")
    if told.filed_on <= period.end:
        raise BadFact("A return is filed after its period has ended.", field="filed_on")


def file_return(
    premises: Premises, day: date, told: Told, *, by: str, now: datetime | None = None
) -> Filed:
    """Mark the return that holds *day* as filed, and keep it as it was told. Raises BadFact."""
    now = now or timezone.now()
    today = now.astimezone(premises.zone).date()
    with transaction.atomic():
        locked = lock(premises)
        years = years_for(locked, day)
        figure = return_figure(years, day, today=today)
        _check(years, figure, told, today)
        content = content_of(figure, years.in_period(figure.period))
        text = json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        sheet = sheet_of_return(figure)
        facts = tuple((n, "filed" if n == "Status" else v) for n, v in sheet.facts)
        paper = pdf.render([replace(sheet, facts=facts)])
        return Filed.objects.create(
            premises=locked, form=RETURN, begin=figure.period.begin, end=figure.period.end,
            content=text, pdf=paper, pdf_hash=sha256(paper).hexdigest(),
            filed_on=told.filed_on, filed_by=told.filed_by, how=told.how,
            confirmation=told.confirmation, note=told.note, recorded_at=now, recorded_by=by,
            through_entry=figure.through[0], seal=figure.through[1],
        )  # fmt: skip
