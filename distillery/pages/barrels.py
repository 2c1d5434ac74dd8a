"""Barrels: where each stands, the whole life of one, and the labels for their heads."""

from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from distillery.ages import WOODS, age_on, counted_on
from distillery.barrel_life import code_on, held_before
from distillery.barrel_spells import Spell, spells_of
from distillery.barrel_story import acts_of, events_of, moves_of, readings_of
from distillery.code_ranges import codes_of
from distillery.package_marks import head_marks
from distillery.pages.floor import offered_to
from distillery.pages.people import member_for, vessel_for
from distillery.pages.standing import acts_at, content, held_now
from distillery.papers.head_label import head_labels
from distillery.qr import address_of
from ledger.looking import Held, Look
from ledger.models import Lot, Premises, Vessel

KIND = Vessel.Kind.BARREL


@dataclass(frozen=True, slots=True)
class Standing:
    """One barrel of the list: its place, what it holds and since when, as text."""

    vessel: Vessel
    place: str
    held: Any
    age: str
    is_gone: bool


@require_safe
def barrels(request: HttpRequest) -> HttpResponse:
    """Every barrel of the plant: place, lot, fill, age."""
    member = member_for(request)
    wanted = request.GET.get("place", "")
    rows = Vessel.objects.filter(premises=member.premises, kind=KIND)
    rows = rows.select_related("sheet", "barrel").order_by("sheet__room", "code")
    held = held_now(member.premises, vessel__kind=KIND)
    today = timezone.localdate(timezone=member.premises.zone)
    lots = Lot.objects.select_related("designation").in_bulk(
        {one.lot.pk for found in held.values() for one in found}
    )
    ages = {pk: str(counted_on(lot, today)) for pk, lot in lots.items() if lot.wood}
    told = [_standing(one, held.get(one.pk, []), ages) for one in rows]
    places = sorted({one.place for one in told if one.place})
    here = [one for one in told if not one.is_gone and (not wanted or one.place == wanted)]
    gone = [one for one in told if one.is_gone]
    return render(
        request, "barrels/barrels.html",
        {"here": here, "gone": gone, "places": places, "wanted": wanted},
    )  # fmt: skip


def _standing(vessel: Vessel, held: list[Held], ages: dict[int, str]) -> Standing:
    sheet, barrel = getattr(vessel, "sheet", None), getattr(vessel, "barrel", None)
    one = held[0] if held else None
    return Standing(
        vessel, sheet.room if sheet else "", content(one) if one else None,
        ages.get(one.lot.pk, "") if one else "",
        bool(barrel and barrel.is_gone),
    )  # fmt: skip


@require_safe
def barrel(request: HttpRequest, code: str) -> HttpResponse:
    """One barrel from the cooper to the day it goes: fills, gauges, losses, care, ages."""
    member = member_for(request)
    vessel = barrel_for(member.premises, code)
    held = held_now(member.premises, vessel=vessel)[vessel.pk]
    spells, acts, moves = spells_of(vessel), acts_of(vessel), moves_of(vessel)
    now = timezone.now()
    today = timezone.localdate(now, member.premises.zone)
    spell = spells[-1] if held and spells and spells[-1].end is None else None
    sheet = vessel.barrel
    return render(
        request, "barrels/barrel.html",
        {
            "vessel": vessel, "barrel": sheet, "contents": [content(one) for one in held],
            "spell": spell, "ages": _ages(held, today), "cooperage": code_on(sheet, now),
            "before": held_before(vessel, Look(member.premises, now)),
            "marks": head_marks(vessel, sheet, spell) if spell else [],
            "spells": [(one, _aged(one, member.premises)) for one in reversed(spells)],
            "readings": readings_of(spells, acts, moves, vessel),
            "events": events_of(vessel, acts, moves),
            "acts": acts_at(vessel, held, offered_to(member)),
        },
    )  # fmt: skip


def barrel_for(premises: Premises, code: str) -> Vessel:
    """The plant's barrel with its sheets. Raises Http404."""
    vessel = vessel_for(premises, code)
    if vessel.kind != KIND or not hasattr(vessel, "barrel"):
        raise Http404("No barrel of that name at this plant.")
    return vessel


def _ages(held: list[Held], today: Any) -> list[tuple[str, str]]:
    """Time in each wood of what is in it now, and what of it counts for its kind."""
    told = []
    for one in held:
        told += [(f"Age in {WOODS[wood]}", str(span)) for wood, span in
                 age_on(one.lot, today).spells()]  # fmt: skip
        told.append(("Age that counts", str(counted_on(one.lot, today))))
    return told


def _aged(spell: Spell, premises: Premises) -> str:
    """The age that counts at the end of a spell, or today."""
    end = spell.end or timezone.now()
    return str(counted_on(spell.lots[-1], end.astimezone(premises.zone).date()))


@require_safe
def barrel_label(request: HttpRequest, code: str) -> HttpResponse:
    """The head label of a barrel that is full. 404 for an empty one."""
    member = member_for(request)
    return _labels(request, [barrel_for(member.premises, code)], f"label-{code}")


@require_safe
def barrel_labels(request: HttpRequest) -> HttpResponse:
    """Head labels of ``?codes=B-101..B-112``, of what holds ``?lot=26A30``, or of all full."""
    member = member_for(request)
    rows = Vessel.objects.filter(premises=member.premises, kind=KIND, barrel__isnull=False)
    text = request.GET.get("codes", "")
    try:
        rows = rows.filter(code__in=codes_of(text)) if text else rows
    except ValueError as error:
        raise Http404(str(error)) from error
    lot = {"lot__code": request.GET["lot"]} if request.GET.get("lot") else {}
    full = held_now(member.premises, vessel__kind=KIND, **lot)
    related = rows.select_related("barrel", "premises__plant").order_by("code")
    return _labels(request, [one for one in related if one.pk in full], "labels")


def _labels(request: HttpRequest, vessels: list[Vessel], name: str) -> HttpResponse:
    labels, addresses = [], []
    for vessel in vessels:
        spells = spells_of(vessel)
        if spells and spells[-1].end is None:
            labels.append(head_marks(vessel, vessel.barrel, spells[-1]))
            addresses.append(address_of(request, vessel.code))
    if not labels:
        raise Http404("There is nothing in it to label.")
    paper = head_labels(labels, title=name, addresses=addresses)
    answer = HttpResponse(paper, content_type="application/pdf")
    answer["Content-Disposition"] = f'attachment; filename="{name}.pdf"'
    return answer
