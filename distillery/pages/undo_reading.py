"""A minute to undo what was just read, on the page that says it was kept."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.contrib import messages
from django.db.models import Exists, OuterRef
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from distillery import recording
from distillery.devices import made_on
from distillery.models import Membership, Reading
from distillery.operations.void_reading import VoidReading
from distillery.pages.done import REASON, UNDO
from distillery.pages.people import lot_for, recorder_for
from distillery.recording import Asked, Refused
from ledger.models import Entry

TOO_LATE = "The minute is over. Void it below, with the reason."
ALREADY = "The reading of {vessel} is voided already. It stays on record, and counts no more."
DONE = "The reading of {vessel} is voided. It stays on record, and counts no more."


@dataclass(frozen=True, slots=True)
class Undo:
    """A reading that its own person may still undo, for so many seconds."""

    row: Reading
    seconds: int


def undos_of(member: Membership, now: datetime, **only: Any) -> list[Undo]:
    """What this person read and recorded within the last minute, newest first; one query.

    The first gravity of a mash is not among them: it was recorded with the mash.
    """
    of_an_act = Entry.objects.filter(premises=OuterRef("premises"), key=OuterRef("key"))
    rows = (
        Reading.objects.standing()
        .filter(
            premises=member.premises,
            by=member.user.get_username(),
            recorded_at__gt=now - UNDO,
            **only,
        )
        .exclude(Exists(of_an_act))
    )
    found = rows.select_related("vessel").order_by("-recorded_at", "-pk")
    return [Undo(row, int((row.recorded_at + UNDO - now).total_seconds()) + 1) for row in found]


def last_of_each(undos: list[Undo]) -> list[Undo]:
    """The last reading of each vessel among *undos*, newest first: a file of records, or a season
    that is told at once, leaves many."""
    newest: dict[int, Undo] = {}
    for one in undos:
        newest.setdefault(one.row.vessel_id, one)
    return list(newest.values())


@require_POST
def undo_reading(request: HttpRequest) -> HttpResponse:
    """Void the reading whose key was posted. 404 for a key of nobody's reading here."""
    member = recorder_for(request)
    rows = Reading.objects.filter(premises=member.premises, key=request.POST.get("reading", ""))
    row = rows.select_related("vessel").first()
    if row is None:
        raise Http404("No such reading.")
    if hasattr(row, "void"):  # the answer to the first tap was lost
        messages.info(request, ALREADY.format(vessel=row.vessel.code))
        return _back(request, member)
    now = timezone.now()
    if not any(one.row == row for one in undos_of(member, now)):
        messages.error(request, TOO_LATE)
        return redirect(reverse("vessel", args=[row.vessel.code]) + "#readings")
    data = {
        "operation": VoidReading.slug, "reading": row.key, "reason": REASON,
        "at": now.isoformat(), "key": f"{row.key[:70]}~undo", **made_on(request, member.premises),
    }  # fmt: skip
    try:
        recording.record(data, premises=member.premises, user=request.user)
        messages.info(request, DONE.format(vessel=row.vessel.code))
    except (Refused, Asked) as refusal:
        messages.error(request, f"Not undone. {refusal}")
    return _back(request, member)


def _back(request: HttpRequest, member: Membership) -> HttpResponse:
    """To the run's page, where it was noted there; else to the round."""
    code = request.POST.get("run", "")
    if code:
        return redirect("run", code=lot_for(member.premises, code).code)
    return redirect("readings")
