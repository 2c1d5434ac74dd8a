"""A still run on one page for hours: watched by any tablet, noted on with one card."""

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import redirect_to_login
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from distillery import recording
from distillery.check_due import minutes_words
from distillery.curves.still_run import run_curve
from distillery.devices import made_on
from distillery.models import KeptSlip, Membership, Reading
from distillery.operations.still_reading import StillReadingAct
from distillery.pages import posted, run_now
from distillery.pages.cautions import called_for_by, cautions_of
from distillery.pages.curves import as_pdf
from distillery.pages.offers import Offers
from distillery.pages.people import lot_for, member_for, operations_for, recorder_for
from distillery.pages.sheet import Sheet
from distillery.pages.standing import reading_words
from distillery.pages.undo_reading import undos_of
from distillery.papers.curve_paper import curve_pdf
from distillery.recording import Asked, Refused
from distillery.run_story import Story, newest_spell, story_of
from distillery.safety import WHO_DECIDES
from distillery.shown_in import shown_in
from ledger.models import Lot, Movement
from ledger.plan import Question

SLUG = StillReadingAct.slug
# The card asks what is read each time; the rest unfolds.
FIRST = ("temperature", "reading", "reading_temperature")
OPEN_ACTS = {
    True: ("run-on", "load-basket", "collect", "still-collect-processing", "close-run"),
    False: ("stop-still", "load-basket", "collect", "still-collect-processing", "close-run"),
}
CLOSED_ACTS = ("spent-botanicals", "route-stillage", "keep-backset", "clean-vessel")
CLOSING = ("run", "run_balance", "redistil")


@require_safe
def run(request: HttpRequest, code: str) -> HttpResponse:
    """The run's page; a run that went on as another lot leads there."""
    member = member_for(request)
    found = lot_for(member.premises, code)
    newest = newest_spell(found)
    if newest != found:
        return redirect("run", code=newest.code)
    return _page(request, member, _story(member, found))


@login_not_required  # asked for here: a page of log-in would be put in the place of the run
def now(request: HttpRequest, code: str) -> HttpResponse:
    """What changes while it runs, for the page to put in its place; says when nobody is in."""
    if request.user.is_authenticated:
        return _now(request, code)
    if not getattr(request, "htmx", False):
        return redirect_to_login(request.path)
    return render(request, "runs/signed_out.html", {"back": reverse("run", args=[code])})


@require_safe
def _now(request: HttpRequest, code: str) -> HttpResponse:
    member = member_for(request)
    story = _story(member, newest_spell(lot_for(member.premises, code)))
    return render(request, "runs/now.html", _context(request, member, story))


@login_not_required  # asked for here: after it the run's page is shown, with the draft on it
def note(request: HttpRequest, code: str) -> HttpResponse:
    """Keep a reading or a cut. The same key again, from a double tap, keeps nothing new."""
    if request.user.is_authenticated:
        return _note(request, code)
    return redirect_to_login(reverse("run", args=[code]))


@require_POST
def _note(request: HttpRequest, code: str) -> HttpResponse:
    member = recorder_for(request)
    story = _story(member, newest_spell(lot_for(member.premises, code)))
    operation = StillReadingAct()
    data = posted.record_of(operation, request.POST)
    data["still"] = story.still.code
    data.setdefault("at", _moment(member, data))
    data |= made_on(request, member.premises)
    try:
        done = recording.post(recording.prepare(data, premises=member.premises, user=member.user))
    except Refused as refused:
        return _page(request, member, story, data=data, errors=refused.errors)
    except Asked as asked:
        return _page(request, member, story, data=data, asked=asked.plan.questions)
    messages.info(request, "Noted." if done.is_new else "This was noted before.")
    return redirect("run", code=story.run.code)


def _moment(member: Membership, data: dict[str, Any]) -> str:
    """Now, to the minute; the moment it had where the same key came before."""
    rows = Reading.objects.filter(premises=member.premises, key=str(data.get("key")))
    at = rows.values_list("at", flat=True).first() or timezone.now()
    return f"{at.astimezone(member.premises.zone):%Y-%m-%dT%H:%M}"


@require_safe
def curve(request: HttpRequest, code: str) -> HttpResponse:
    """The run's curve as PDF. 404 before the first figure."""
    member = member_for(request)
    story = _story(member, newest_spell(lot_for(member.premises, code)))
    unit = shown_in(member.premises).temperature
    plotted = run_curve(story, zone=member.premises.zone, unit=unit)
    if plotted is None:
        raise Http404("Nothing is noted of this run yet.")
    alcohol = run_now.alcohol_of(story)
    facts = [("Still", story.still.code), ("Charged", alcohol.charged),
             ("Collected", f"{alcohol.collected} {alcohol.share}".strip())]  # fmt: skip
    paper = curve_pdf(member.premises, plotted, now=timezone.now(), facts=facts)
    return as_pdf(paper, f"run-{story.run.code}")


def _story(member: Membership, lot: Lot) -> Story:
    found = None
    if lot.stage == "run":
        found = story_of(lot, premises=member.premises, now=timezone.now())
    if found is None:
        raise Http404("No such run at this plant.")
    return found


def _context(request: HttpRequest, member: Membership, story: Story) -> dict[str, Any]:
    """What both the page and its refreshed part show."""
    premises, moment = member.premises, timezone.now()
    shown = shown_in(premises)
    offered = {one.slug: one for one in operations_for(member)}
    wanted = OPEN_ACTS[story.is_stopped] if story.account else CLOSED_ACTS
    acts = [offered[slug] for slug in wanted if slug in offered]
    receivers = run_now.receivers_of(story, premises, moment)
    return {
        "story": story, "now": moment, "since": minutes_words(moment - story.started),
        "due": run_now.due_in(story, premises, moment),
        "last": run_now.last_words(story, shown, reading_words),
        "alcohol": run_now.alcohol_of(story, receivers),
        "receivers": receivers,
        "plotted": run_curve(story, zone=premises.zone, unit=shown.temperature),
        "cuts": run_now.cut_buttons(story) if SLUG in offered else [],
        "to_gauge": run_now.to_gauge(story) if SLUG in offered and story.account else [],
        "gauges": run_now.to_gauge_as_produced(story) if SLUG in offered else [],
        "acts": [one for one in acts if story.account in one.accounts or not story.account],
        "closing": None if story.account else _closing(story),
    }  # fmt: skip


def _closing(story: Story) -> tuple[Any, list[Any]] | None:
    """(entry, slips) that closed the run, with its balance."""
    rows = Movement.objects.filter(
        from_lot=story.run, purpose__in=CLOSING, entry__reversed_by=None, entry__reverses=None
    )
    row = rows.select_related("entry").order_by("-at", "-pk").first()
    return (row.entry, KeptSlip.of_entry(row.entry)) if row else None


def _page(
    request: HttpRequest,
    member: Membership,
    story: Story,
    *,
    data: dict[str, Any] | None = None,
    errors: dict[str, list[str]] | None = None,
    asked: tuple[Question, ...] = (),
) -> HttpResponse:
    """The whole page; *data* is what was typed and not kept yet, *errors* and *asked* why."""
    operation = StillReadingAct()
    context = _context(request, member, story)
    may = bool(story.account) and SLUG in {one.slug for one in operations_for(member)}
    sheet = _card(member, data, errors) if may else None
    newest = [row for row in story.readings if row.by == request.user.get_username()]
    return render(
        request,
        "runs/run.html",
        {
            **context,
            "sheet": sheet,
            "first": [box for box in sheet.boxes if box.name in FIRST] if sheet else [],
            "more": [box for box in sheet.boxes if box.name not in (*FIRST, "still")]
            if sheet else [],
            "is_open": bool(data and set(data) - {*FIRST, "operation", "key", "still", "at"}),
            "key": (data or {}).get("key") or str(uuid4()),
            "problems": [
                *((SLUG, text) for text in (errors or {}).get(recording.WHOLE, [])),
                *((SLUG, text) for text in (errors or {}).get("key", [])),
                *(sheet.problems() if sheet and errors else []),
            ],
            "asked": asked, "run": story.run,
            "undos": undos_of(member, timezone.now(), lot=story.run)[:1] if may else [],
            "taken": newest[-1].key if newest and not data else "",
            "cautions": cautions_of(
                operation, member.premises, called_for_by(story, timezone.now())
            ),
            "who_decides": WHO_DECIDES,
        },
    )  # fmt: skip


def _card(
    member: Membership, data: dict[str, Any] | None, errors: dict[str, list[str]] | None
) -> Sheet:
    operation = StillReadingAct()
    fields = posted.fields_of(operation, data) if data else None
    form = (
        operation.form(fields, premises=member.premises)
        if fields
        else operation.form(premises=member.premises)
    )
    sheet = Sheet(form, Offers(member.premises), errors)
    for box in sheet.boxes:
        box.is_optional = False  # one of all of them is enough; the card says so
    return sheet
