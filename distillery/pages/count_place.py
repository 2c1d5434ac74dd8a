"""One place of a walked count: what is found there is kept at once, on the server."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_http_methods

from distillery.counts import compared, figure
from distillery.forms.place_form import place_form
from distillery.models import Membership, OpenCount
from distillery.open_counts import barrels_left, cleaned_row, keep_place, next_place, row_of
from distillery.pages.counts import count_for
from distillery.pages.offers import Offers
from distillery.pages.people import recorder_for
from distillery.pages.posted import EMPTY
from distillery.pages.sentences import account_title, title_of
from distillery.pages.sheet import Sheet
from ledger.errors import LedgerError
from ledger.looking import Held, Look
from ledger.models import Lot, Vessel

BULK_LIKE = "storage"


@require_http_methods(["GET", "HEAD", "POST"])
def place(request: HttpRequest, number: int) -> HttpResponse:
    """Fill in one place; ``?vessel=&lot=`` names it, without them a place is chosen."""
    member = recorder_for(request)
    count = count_for(member.premises, number)
    if not count.is_open:
        return redirect("count", number=number)
    asked = request.POST if request.method == "POST" else request.GET
    if not asked.get("vessel"):
        return _choose(request, count)
    held = _held(count, asked.get("vessel", ""), asked.get("lot", ""))
    if request.method == "POST":
        return _keep(request, member, count, held)
    return _draw(request, count, held, _initial(count, held))


def _choose(request: HttpRequest, count: OpenCount) -> HttpResponse:
    rows = Vessel.objects.filter(premises=count.premises).select_related("sheet")
    context = {"count": count, "vessels": [(row.code, title_of(row)) for row in rows]}
    return render(request, "counts/choose.html", context)


def _held(count: OpenCount, vessel: str, lot: str) -> Held:
    """The holding to count; an empty one where the book has none of that lot. Raises Http404."""
    look = Look.now(count.premises, timezone.now())
    try:
        found = [one for one in look(vessel) if not lot or one.lot.code == lot]
    except LedgerError as error:
        raise Http404(str(error)) from error
    if found:
        return found[0]
    known = Lot.objects.filter(premises=count.premises, code=lot).first()
    if known is None:
        raise Http404("The book has nothing of that name there.")
    account = "finished" if known.stage == "bottled" else BULK_LIKE
    return Held(known, look.vessel(vessel), account, 0, 0, 0, look.at)


def _initial(count: OpenCount, held: Held) -> dict[str, Any]:
    now = timezone.now().astimezone(count.premises.zone)
    kept = count.places.filter(vessel=held.vessel, lot=held.lot).first()
    found = row_of(kept) if kept else {}
    return {"at": f"{now:%Y-%m-%dT%H:%M}", "found": found}


def _draw(
    request: HttpRequest,
    count: OpenCount,
    held: Held,
    initial: dict[str, Any],
    problems: list[str] | None = None,
) -> HttpResponse:
    form = place_form(held.account, is_blind=_is_blind(count, held))(
        initial=initial, premises=count.premises
    )
    has = (held.amount, held.wine_gallons, held.proof_gallons)
    return render(
        request,
        "counts/place.html",
        {
            "count": count,
            "held": held,
            "title": title_of(held.vessel),
            "account": account_title(held.account),
            "book": "" if count.is_blind else figure(held, has),
            "sheet": Sheet(form, Offers(count.premises, is_blind=count.is_blind)),
            "problems": problems or [],
        },
    )


def _keep(
    request: HttpRequest, member: Membership, count: OpenCount, held: Held
) -> HttpResponse:  # fmt: skip
    form = place_form(held.account, is_blind=_is_blind(count, held))
    found = form.base_fields["found"].widget.value_from_datadict(request.POST, {}, "found")
    found = {k: v for k, v in found.items() if v not in EMPTY} if isinstance(found, dict) else {}
    at = request.POST.get("at", "")
    row = {"vessel": held.vessel.code, "lot": held.lot.code, **_plain(found)}
    try:
        checked = cleaned_row({**row, "counted_at": at}, count.premises)
        moment = checked["counted_at"] or timezone.now()
        compared(checked, Look.now(count.premises, max(moment, timezone.now())))
    except LedgerError as error:
        return _draw(request, count, held, {"at": at, "found": found}, [str(error)])
    by = member.user.get_username()
    keep_place(count, row, vessel=held.vessel, lot=held.lot, by=by, now=moment)
    return redirect(_next(count) if request.POST.get("then") == "next" else _walk(count))


def _is_blind(count: OpenCount, held: Held) -> bool:
    """A barrel is counted by being there: it may be so even in a blind count."""
    return count.is_blind and held.vessel.kind != Vessel.Kind.BARREL


@require_http_methods(["GET", "HEAD", "POST"])
def barrels(request: HttpRequest, number: int) -> HttpResponse:
    """The barrels not yet counted, to tick off where they lie; ticked, each is kept as there."""
    member = recorder_for(request)
    count = count_for(member.premises, number)
    if not count.is_open:
        return redirect("count", number=number)
    left = barrels_left(count)
    if request.method != "POST":
        return render(request, "counts/barrels.html", {"count": count, "rooms": _by_room(left)})
    ticked, now = set(request.POST.getlist("there")), timezone.now()
    for held in left:
        if held.vessel.code in ticked:
            row = {"vessel": held.vessel.code, "lot": held.lot.code, "as_book": True}
            keep_place(
                count, row, vessel=held.vessel, lot=held.lot, by=member.user.get_username(),
                now=now,
            )  # fmt: skip
    return redirect("count", number=number)


def _by_room(left: list[Held]) -> list[tuple[str, list[Held]]]:
    rooms: dict[str, list[Held]] = {}
    for held in left:
        sheet = getattr(held.vessel, "sheet", None)
        rooms.setdefault(sheet.room if sheet else "", []).append(held)
    return sorted(rooms.items())


def _plain(found: dict[str, Any]) -> dict[str, Any]:
    return {name: True if value == "on" else value for name, value in found.items()}


def _walk(count: OpenCount) -> str:
    return reverse("count", args=[count.number])


def _next(count: OpenCount) -> str:
    """The first place not yet counted; the look over when all are."""
    held = next_place(count)
    if held:
        query = urlencode({"vessel": held.vessel.code, "lot": held.lot.code})
        return f"{reverse('count-place', args=[count.number])}?{query}"
    return reverse("count-check", args=[count.number])
