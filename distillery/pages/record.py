"""Record an act: the form, what would move, and the posting, at one address a kind of act."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from typing import Any
from urllib.parse import quote
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from distillery import recording
from distillery.devices import made_on
from distillery.models import Membership, Reading
from distillery.operations.base import Operation
from distillery.pages import posted, sentences, told
from distillery.pages.cautions import called_for, cautions_of
from distillery.pages.offers import Offers
from distillery.pages.people import entry_for, operation_for, operations_for, recorder_for
from distillery.pages.rooms import posted_where
from distillery.pages.sheet import SPARE, Sheet
from distillery.pages.steps import steps_of
from distillery.pages.ticks import ASKED_ONCE, UNSEEN, is_unseen, ticks_of
from distillery.recording import WHOLE, Asked, Record, Refused
from distillery.safety import WHO_DECIDES
from ledger.errors import Changed, KeyConflict
from ledger.models import Premises
from ledger.posting import month_of

MORE_ROWS = 9
ASKED = "Answer what is asked below, then record it."
USED = (
    "This page was recorded before, with other content. What you see now would be one more "
    "record; look in the book before you go on."
)
CLOSED_TO_OPERATORS = "{month:%B %Y} is closed. Ask the plant's owner to record this."
CHOOSE_MONTH = "{month:%B %Y} is closed. Choose where this is booked."


@dataclass(frozen=True)
class Desk:
    """One request at the recording desk: who records what where."""

    request: HttpRequest
    member: Membership
    operation: Operation

    @property
    def premises(self) -> Premises:
        """The plant."""
        return self.member.premises

    @property
    def is_owner(self) -> bool:
        """Whether closed months are this person's to choose for."""
        return self.member.role == Membership.Role.OWNER


@require_safe
def choose(request: HttpRequest) -> HttpResponse:
    """Every operation this person may record, by group."""
    offered = operations_for(recorder_for(request))
    groups = [(name, list(found)) for name, found in groupby(offered, lambda one: one.group)]
    return render(request, "record/choose.html", {"groups": groups})


@require_http_methods(["GET", "HEAD", "POST"])
def record_operation(request: HttpRequest, slug: str) -> HttpResponse:
    """The form; posted, its preview; confirmed, the entry."""
    member = recorder_for(request)
    desk = Desk(request, member, operation_for(member, slug))
    if request.method != "POST":
        return _start(desk)
    data = posted.record_of(desk.operation, request.POST) | made_on(request, desk.premises)
    act = {"preview": _look_over, "confirm": _confirm}.get(request.POST.get("step", ""))
    if act is None:
        more = MORE_ROWS if request.POST.get("step") == "more" else SPARE
        return _form(desk, data, spare=more)
    return _refusable(desk, data, act)


def _refusable(
    desk: Desk, data: dict[str, Any], act: Callable[[Desk, dict[str, Any]], HttpResponse]
) -> HttpResponse:
    try:
        return act(desk, data)
    except Refused as refusal:
        if isinstance(refusal.__cause__, KeyConflict):
            data = {**data, "key": str(uuid4())}
            return _form(desk, data, errors={WHOLE: [USED]})
        return _form(desk, data, errors=refusal.errors)


def _start(desk: Desk) -> HttpResponse:
    now = timezone.now().astimezone(desk.premises.zone)
    initial = {
        "at": f"{now:%Y-%m-%dT%H:%M}",
        **posted.started(desk.operation, desk.request.GET),
    }
    data = {"key": str(uuid4()), "instead_of": desk.request.GET.get("instead_of", "")}
    if _number(data["instead_of"]):
        old = entry_for(desk.premises, int(data["instead_of"]))
        initial |= posted.of_entry(desk.operation, old)
    offers, at = Offers(desk.premises), desk.operation.vessel_field
    if at in desk.operation.form.base_fields and not initial.get(at):
        initial[at] = offers.only_place(desk.operation)
    form = desk.operation.form(initial=initial, premises=desk.premises)
    return _draw(desk, Sheet(form, offers), data)


def _form(
    desk: Desk,
    data: dict[str, Any],
    *,
    errors: dict[str, list[str]] | None = None,
    spare: int = SPARE,
) -> HttpResponse:
    """The form with all that was filled in; *errors* are told at the top and beside each box."""
    form = desk.operation.form(posted.fields_of(desk.operation, data), premises=desk.premises)
    sheet = Sheet(form, Offers(desk.premises), errors, spare=spare)
    return _draw(desk, sheet, data, errors or {})


def _draw(
    desk: Desk, sheet: Sheet, data: dict[str, Any], errors: dict[str, list[str]] | None = None
) -> HttpResponse:
    errors = errors or {}
    outside = {name: texts for name, texts in errors.items() if not sheet.has(name)}
    return render(
        desk.request,
        "record/form.html",
        {
            "operation": desk.operation,
            "cautions": cautions_of(desk.operation, desk.premises),
            "who_decides": WHO_DECIDES,
            "sheet": sheet,
            "steps": steps_of(sheet.boxes),
            "problems": [
                *((_id_outside(name), text) for name, texts in outside.items() for text in texts),
                *sheet.problems(),
            ],
            "key": data.get("key") or str(uuid4()),
            "reason": data.get("reason", ""),
            "late": data.get("late", ""),
            "instead_of": _number(data.get("instead_of")),
            "stands_on": _number(data.get("instead_of") or data.get("entry")),
            "errors": errors,
            "asks_late": desk.is_owner and bool("late" in errors or data.get("late")),
            "asks_reason": desk.operation.needs_reason
            or bool(data.get("instead_of"))
            or bool({"late", "reason"} & errors.keys() or data.get("late") or data.get("reason")),
        },
    )


def _number(text: Any) -> str:
    """An entry's number as the page can link it; "" for what is none."""
    is_number = isinstance(text, str) and text.isascii() and text.isdecimal() and len(text) < 19
    return text if is_number else ""


def _id_outside(name: str) -> str:
    return f"id_{name}" if name in ("late", "reason") else "sheet"


def _look_over(desk: Desk, data: dict[str, Any]) -> HttpResponse:
    record = recording.prepare(data, premises=desk.premises, user=desk.member.user)
    _check_month(desk, record)
    return _preview(desk, record)


def _check_month(desk: Desk, record: Record) -> None:
    """Ask before the preview where an act of a closed month is booked. Raises Refused."""
    closed = desk.premises.closed_through
    moments = [record.operation.happened_at(record.fields)]
    moments += [record.instead_of.happened_at] if record.instead_of else []
    month = month_of(desk.premises, min(moments))
    if not record.operation.is_book or closed is None or month > closed:
        return
    if not desk.is_owner:
        raise Refused({WHOLE: [CLOSED_TO_OPERATORS.format(month=month)]})
    if not record.late:
        raise Refused({"late": [CHOOSE_MONTH.format(month=month)]})
    if not record.reason:
        raise Refused({"reason": ["Say why this comes late. It is printed on the report."]})


def _preview(
    desk: Desk, record: Record, *, sentence: str = "", keep_ticks: bool = True
) -> HttpResponse:
    """What would be posted now, its questions, and all that is needed to post it."""
    plan = recording.preview(record)
    return render(
        desk.request,
        "record/preview.html",
        {
            "operation": desk.operation,
            "cautions": cautions_of(desk.operation, desk.premises, called_for(record, plan)),
            "who_decides": WHO_DECIDES,
            "plan": plan,
            "ticks": ticks_of(record, plan),
            "asked_once": bool(sentence),
            "movements": sentences.of_plan(plan, desk.premises),
            "posted": posted_where(plan, desk.premises),
            "ticked": record.confirm if keep_ticks else (),
            "sentence": sentence,
            "dates": _both_dates(record),
            "filled_in": told.of_text(record.text),
            "digest": plan.digest(),
            "carried": posted.carried_of(desk.operation, desk.request.POST),
        },
    )


def _both_dates(record: Record) -> tuple[datetime, datetime] | None:
    """When it happened and when it is recorded, where the days differ; None for the same day."""
    zone, now = record.premises.zone, timezone.now()
    happened = record.operation.happened_at(record.fields)
    same = happened.astimezone(zone).date() == now.astimezone(zone).date()
    return None if same else (happened, now)


def _confirm(desk: Desk, data: dict[str, Any]) -> HttpResponse:
    record = recording.prepare(data, premises=desk.premises, user=desk.member.user)
    if is_unseen(record) and not desk.request.POST.get(ASKED_ONCE):
        return _preview(desk, record, sentence=UNSEEN)
    try:
        done = recording.post(record, previewed=desk.request.POST.get("digest", ""))
    except Asked:
        return _preview(desk, record, sentence=ASKED)
    except Changed as changed:
        return _preview(desk, record, sentence=str(changed), keep_ticks=False)
    if done.entry is None:
        return redirect(_where_kept(done.reading))
    entry = f"entry № {done.entry.number}"
    told_of = f"Recorded as {entry}." if done.is_new else f"This was recorded before: {entry}."
    messages.info(desk.request, told_of)
    return redirect("entry-done", number=done.entry.number)


def _where_kept(row: Any) -> str:
    """The page that says a reading, its void, or a check of bottles, was kept."""
    is_reading = isinstance(row, Reading)
    key = quote(row.key)
    return f"{reverse('readings')}?kept={key}" if is_reading else f"{reverse('kept')}?key={key}"
