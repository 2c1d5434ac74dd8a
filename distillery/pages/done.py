"""What was recorded just now: its number, the likely next act, and a minute to undo it."""

from datetime import datetime, timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from distillery import recording
from distillery.devices import made_on
from distillery.models import Membership
from distillery.operations import operations
from distillery.pages import sentences
from distillery.pages.next_acts import next_acts
from distillery.pages.people import entry_for, member_for
from distillery.people import may_record, may_reverse
from distillery.recording import Asked, Refused
from distillery.tables import operation_title, states_of
from ledger.models import Entry

UNDO = timedelta(seconds=60)
ALREADY = "It is undone already, by № {number}. Both stay in the book."
TOO_LATE = "The minute is over. Take it back from the page of the entry, with the reason."
REASON = "Undone within a minute of recording."


@require_http_methods(["GET", "HEAD", "POST"])
def done(request: HttpRequest, number: int) -> HttpResponse:
    """The entry as it was taken; posted, it is undone by a reversal."""
    member = member_for(request)
    found = entry_for(member.premises, number)
    now = timezone.now()
    if request.method == "POST":
        return _undo(request, member, found, now)
    known = operations().get(found.operation)
    stands = not found.reverses_id and not found.corrects_id
    return render(
        request,
        "record/done.html",
        {
            "entry": found,
            "title": operation_title(found.operation),
            "states": states_of(found),
            "movements": sentences.of_entry(found),
            "next": next_acts(found, member),
            "again": known if stands and known and may_record(member.role, known) else None,
            "seconds_left": seconds_left(found, member, now),
        },
    )


def seconds_left(entry: Entry, member: Membership, now: datetime) -> int:
    """How long the person who recorded *entry* may still undo it; 0 for everybody else."""
    name = member.user.get_username()
    if entry.by != name or entry.reverses_id or hasattr(entry, "reversed_by"):
        return 0
    if not may_reverse(member.role, name, entry, now):
        return 0
    return max(0, int((entry.recorded_at + UNDO - now).total_seconds()))


def _undo(request: HttpRequest, member: Membership, entry: Entry, now: datetime) -> HttpResponse:
    if hasattr(entry, "reversed_by"):  # the answer to the first tap was lost
        messages.info(request, ALREADY.format(number=entry.reversed_by.number))
        return redirect("entry", number=entry.number)
    if not seconds_left(entry, member, now):
        messages.error(request, TOO_LATE)
        return redirect("entry", number=entry.number)
    data = {
        "operation": "reverse", "entry": str(entry.number), "reason": REASON,
        "at": entry.happened_at.isoformat(), "key": f"{entry.key[:70]}~undo",
        **made_on(request, member.premises),
    }  # fmt: skip
    try:
        taken = recording.record(data, premises=member.premises, user=request.user)
    except (Refused, Asked) as refusal:
        messages.error(request, f"Not undone. {refusal}")
        return redirect("entry", number=entry.number)
    if taken.entry:
        messages.info(request, f"Undone by № {taken.entry.number}. Both stay in the book.")
    return redirect("entry", number=entry.number)
