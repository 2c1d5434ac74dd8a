"""One round of readings: every vessel that ferments on one card, one record each."""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from distillery import recording
from distillery.devices import made_on
from distillery.models import Membership, Reading
from distillery.operations.ferment_reading import FermentReading
from distillery.pages.cautions import cautions_of
from distillery.pages.people import operation_for, recorder_for
from distillery.pages.standing import (
    content,
    held_now,
    most_first,
    reading_words,
    with_last_reading,
)
from distillery.pages.undo_reading import last_of_each, undos_of
from distillery.recording import Asked, Refused
from distillery.safety import WHO_DECIDES
from distillery.shown_in import below_zero, shown_in
from ledger.models import Vessel
from ledger.plan import Question

SLUG = "ferment-reading"
FIGURES = ("gravity", "temperature", "ph")
READ_IN = "fermenting"


@dataclass
class Row:
    """One vessel of the round: what it holds, what was read last, what is typed now."""

    vessel: Vessel
    holds: str
    last: Reading | None
    last_words: str
    place: int
    key: str
    typed: dict[str, str] = field(default_factory=dict)
    sentences: list[str] = field(default_factory=list)
    questions: tuple[Question, ...] = ()
    ticked: tuple[str, ...] = ()

    @property
    def is_filled(self) -> bool:
        """Whether anything was typed for it."""
        return any(self.typed.values())


@require_http_methods(["GET", "HEAD", "POST"])
def readings(request: HttpRequest) -> HttpResponse:
    """The card; posted, each row that was filled in is kept or says why not."""
    member = recorder_for(request)
    operation_for(member, SLUG)
    rows = _rows(member, request)
    now = timezone.now().astimezone(member.premises.zone)
    if request.method != "POST":
        return _shown(request, member, rows, f"{now:%Y-%m-%dT%H:%M}")
    at = request.POST.get("at", "")
    kept = [row for row in rows if row.is_filled and _keep(request, member, row, at)]
    if kept and all(row in kept or not row.is_filled for row in rows):
        messages.info(request, _told(kept))
        return redirect("floor") if request.POST.get("step") == "floor" else redirect("readings")
    for row in kept:
        row.typed, row.key = {}, str(uuid4())
    return _shown(request, member, rows, at, _told(kept) if kept else "", is_posted=True)


def _told(rows: list[Row]) -> str:
    return f"Kept: {', '.join(sorted(row.vessel.code for row in rows))}."


def _rows(member: Membership, request: HttpRequest) -> list[Row]:
    """The fermenters that hold wash, those longest unread first."""
    held = held_now(member.premises, account=READ_IN)
    wanted = Vessel.objects.filter(pk__in=held, kind=Vessel.Kind.FERMENTER)
    vessels, last = with_last_reading(wanted.select_related("sheet").order_by("code"))
    shown = shown_in(member.premises)
    found = []
    for place, vessel in enumerate(vessels):
        newest = last.get(vessel.pk)
        typed = {name: request.POST.get(f"{vessel.code}-{name}", "").strip() for name in FIGURES}
        found.append(Row(
            vessel, str(content(most_first(held[vessel.pk])[0])), newest,
            reading_words(newest, shown) if newest else "", place,
            request.POST.get(f"{vessel.code}-key") or str(uuid4()), typed,
            ticked=tuple(request.POST.getlist(f"{vessel.code}-confirm")),
        ))  # fmt: skip
    return sorted(found, key=_longest_unread)


def _longest_unread(row: Row) -> tuple[bool, datetime]:
    return (row.last is not None, row.last.at if row.last else timezone.now())


def _keep(request: HttpRequest, member: Membership, row: Row, at: str) -> bool:
    """Record one row; what is wrong or unlikely is told in the row."""
    filled = {name: text for name, text in row.typed.items() if text}
    data: dict[str, Any] = {
        "operation": SLUG, "vessel": row.vessel.code, "at": at, "key": row.key,
        "confirm": list(row.ticked), **filled, **made_on(request, member.premises),
    }  # fmt: skip
    try:
        recording.record(data, premises=member.premises, user=request.user)
    except Refused as refusal:
        row.sentences = [text for texts in refusal.errors.values() for text in texts]
    except Asked as asked:
        row.questions = asked.plan.questions
    return not row.sentences and not row.questions


def _shown(
    request: HttpRequest, member: Membership, rows: list[Row], at: str, kept: str = "",
    *, is_posted: bool = False,
) -> HttpResponse:  # fmt: skip
    key = request.GET.get("kept", "")
    newest = Reading.objects.filter(premises=member.premises, key=key).select_related("vessel")
    one = newest.first() if key else None
    shown = shown_in(member.premises)
    return render(
        request,
        "record/readings.html",
        {
            "rows": rows,
            "at": at,
            "kept": kept,
            "one": one,
            "one_words": reading_words(one, shown) if one else "",
            "shown": shown,
            "cautions": cautions_of(FermentReading(), member.premises) if rows else [],
            "who_decides": WHO_DECIDES,
            "signs": {name: shown.sign(name) for name in ("gravity", "temperature")},
            "below_zero": {name: below_zero(name) for name in ("gravity", "temperature")},
            "undos": last_of_each(undos_of(member, timezone.now())),
            "wrong": [row for row in rows if row.sentences or row.questions],
            "nothing": is_posted and not kept and not any(row.is_filled for row in rows),
        },
    )
