"""Worksheets of State excise handed in: marked as filed, kept, and compared with the book."""

import json
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from hashlib import sha256
from typing import Any

from django.db import transaction
from django.utils import timezone

from ledger.errors import BadFact
from ledger.models import Premises
from ledger.posting import lock
from reports.faces import json as json_face
from reports.faces import pdf, render_sheets
from reports.faces.state_sheet import content_of_states, sheet_of_states
from reports.models import Filed
from reports.state_names import NAMES
from reports.state_periods import StatePeriod
from reports.state_tax import StateWorksheet, state_worksheet
from reports.told import Told

PREFIX = "state-"


@dataclass(frozen=True, slots=True)
class FiledState:
    """A worksheet as it was filed, with the tax it had and whether the book differs now."""

    row: Filed
    tax: Decimal | None
    is_changed: bool


def form_of(state: str) -> str:
    """The name under which the worksheets of *state* are kept: ``state-CA``."""
    return f"{PREFIX}{state}"


def render_states(worksheet: StateWorksheet, format: str) -> bytes:
    """The worksheet in one format."""
    if format == "json":
        return json_face.render(content_of_states(worksheet))
    return render_sheets([sheet_of_states(worksheet)], format)


def filed_states(premises: Premises, worksheet: StateWorksheet) -> dict[str, FiledState]:
    """The newest filed worksheet of each State for the period, by the State's two letters."""
    rows = Filed.objects.filter(
        premises=premises, form__startswith=PREFIX, source=worksheet.period.every,
        begin=worksheet.period.begin,
    )  # fmt: skip
    newest = {row.form.removeprefix(PREFIX): row for row in rows.order_by("version")}
    return {state: _compared(row, worksheet.only(state)) for state, row in newest.items()}


def _compared(row: Filed, now: StateWorksheet) -> FiledState:
    kept = json.loads(row.content)
    (state,) = kept["states"]
    tax = None if state["tax"] is None else Decimal(state["tax"])
    return FiledState(row, tax, _figures(kept) != _figures(content_of_states(now)))


def _figures(content: dict[str, Any]) -> list[tuple[Any, ...]]:
    """What is told to the State: tax and the three measures at each rate."""
    return [
        (line["tax"], line["wine_gallons"], line["liters"], line["packages"])
        for state in content["states"]
        for line in state["lines"]
    ]


def _check(period: StatePeriod, told: Told, today: date) -> None:
    if today <= period.end:
        raise BadFact(f"{period.words[0].upper()}{period.words[1:]} has not ended.")
    if told.filed_on > today:
        raise BadFact("That day has not come yet.", field="filed_on")
    if told.filed_on <= period.end:
        raise BadFact("It is filed after its period has ended.", field="filed_on")


def file_state(
    premises: Premises, period: StatePeriod, state: str, told: Told, *, by: str,
    now: datetime | None = None,
) -> Filed:  # fmt: skip
    """Mark the worksheet of *state* as filed and keep it; amended once the book has moved.

    The kept figures never change, whatever becomes of the rates. Raises BadFact.
    """
    now = now or timezone.now()
    if state not in NAMES:
        raise BadFact(f"“{state}” is not a State.")
    _check(period, told, now.astimezone(premises.zone).date())
    with transaction.atomic():
        locked = lock(premises)
        worksheet = state_worksheet(locked, period)
        before = filed_states(locked, worksheet).get(state)
        if before and not before.is_changed:
            raise BadFact(f"{NAMES[state]} is filed for {period.words}, and nothing changed since.")
        version = before.row.version + 1 if before else 0
        return _keep(locked, worksheet.only(state), state, told, version=version, by=by, now=now)


def _keep(
    premises: Premises, worksheet: StateWorksheet, state: str, told: Told, *, version: int,
    by: str, now: datetime,
) -> Filed:  # fmt: skip
    content = content_of_states(worksheet)
    text = json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    status = f"amended, version {version}" if version else "filed"
    paper = pdf.render([sheet_of_states(worksheet, status=status)])
    number, seal = worksheet.through
    return Filed.objects.create(
        premises=premises, form=form_of(state), source=worksheet.period.every,
        begin=worksheet.period.begin, end=worksheet.period.end,
        version=version, content=text, pdf=paper, pdf_hash=sha256(paper).hexdigest(),
        filed_on=told.filed_on, filed_by=told.filed_by, how=told.how,
        confirmation=told.confirmation, note=told.note, recorded_at=now,
        recorded_by=by, through_entry=number, seal=seal,
    )  # fmt: skip
