"""Marking a return as filed: once, after its period, in order; kept as it was told."""

import json
from dataclasses import replace
from datetime import date, datetime
from hashlib import sha256

from django.db import transaction
from django.utils import timezone

from ledger.errors import BadFact
from ledger.models import Premises
from ledger.posting import lock
from reports.faces import pdf
from reports.faces.return_sheet import content_of, sheet_of_return
from reports.filing_life import Told
from reports.models import Filed
from reports.returns import RETURN, YEARS_BACK, ReturnFigure, TaxYears, read_years, return_figure


def years_for(premises: Premises, day: date) -> TaxYears:
    """The years that a return of *day* rests on."""
    return read_years(premises, since=day.year - YEARS_BACK)


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
