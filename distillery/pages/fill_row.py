"""Fill barrels in a row: each a tap, with running totals against the tank from the plan itself."""

import re
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from distillery import recording
from distillery.models import Barrel, Membership
from distillery.operations.base import Operation
from distillery.pages import posted
from distillery.pages.offers import Offers
from distillery.pages.people import operation_for, recorder_for
from distillery.pages.sentences import figure
from distillery.recording import Refused
from ledger.models import Holding
from ledger.models.book import LIVE
from ledger.plan import Plan
from ledger.quantities import to_decimal

SLUG = "fill-barrels"
WAYS = ("gross", "net", "volume")
NUMBERED = re.compile(r"(.*?)(\d+)\Z")
FIRST = "Choose the tank first."
NO_WAY = "Give the gross weight, the net weight or the gallons of this barrel."
TWICE = "{code} is in the row already."


@dataclass(frozen=True)
class Filled:
    """One barrel of the row as the plan has it."""

    code: str
    typed: dict[str, str]
    gallons: str
    proof_gallons: str


@require_http_methods(["GET", "HEAD", "POST"])
def fill_row(request: HttpRequest) -> HttpResponse:
    """The row so far; a barrel is added or taken out, and the whole goes on to the check page."""
    member = recorder_for(request)
    operation = operation_for(member, SLUG)
    if request.method != "POST":
        data = {"vessel": request.GET.get("vessel", ""), "key": str(uuid4())}
        return _shown(request, member, operation, data, [], {})
    data = posted.record_of(operation, request.POST)
    given: Any = data.pop("barrels", [])
    rows: list[dict[str, str]] = given if isinstance(given, list) else []
    if request.POST.get("drop", "").isdecimal():
        rows = [row for place, row in enumerate(rows) if place != int(request.POST["drop"])]
        return _shown(request, member, operation, data, rows, {})
    return _add(request, member, operation, data, rows)


def _add(
    request: HttpRequest,
    member: Membership,
    operation: Operation,
    data: dict[str, Any],
    rows: list[dict[str, str]],
) -> HttpResponse:
    """The row with one barrel more, or as it was with what is wrong."""
    new = {name: request.POST.get(f"new-{name}", "").strip() for name in ("barrel", *WAYS, "tare")}
    new = {name: text for name, text in new.items() if text}
    wrong = _wrong(data, rows, new)
    if not wrong:
        wrong = _refused(member, data, [*rows, new])
    if wrong:
        return _shown(request, member, operation, data, rows, new, wrong)
    return _shown(request, member, operation, data, [*rows, new], {})


def _wrong(data: dict[str, Any], rows: list[dict[str, str]], new: dict[str, str]) -> list[str]:
    if not data.get("vessel"):
        return [FIRST]
    if not any(name in new for name in WAYS):
        return [NO_WAY]
    if new.get("barrel") in [row.get("barrel") for row in rows]:
        return [TWICE.format(code=new["barrel"])]
    return []


def _whole(data: dict[str, Any], rows: list[dict[str, str]]) -> dict[str, Any]:
    return {**data, "barrels": rows, "key": data.get("key") or str(uuid4())}


def _plan(member: Membership, data: dict[str, Any], rows: list[dict[str, str]]) -> Plan:
    """What the row comes to. Raises Refused."""
    now = timezone.now().astimezone(member.premises.zone)
    whole = {**_whole(data, rows), "at": f"{now:%Y-%m-%dT%H:%M:%S}"}
    record = recording.prepare(whole, premises=member.premises, user=member.user)
    return recording.preview(record)


def _refused(member: Membership, data: dict[str, Any], rows: list[dict[str, str]]) -> list[str]:
    try:
        _plan(member, data, rows)
    except Refused as refusal:
        return [text for texts in refusal.errors.values() for text in texts]
    return []


def _shown(
    request: HttpRequest,
    member: Membership,
    operation: Operation,
    data: dict[str, Any],
    rows: list[dict[str, str]],
    new: dict[str, str],
    wrong: list[str] | None = None,
) -> HttpResponse:
    plan = None
    if rows:
        try:
            plan = _plan(member, data, rows)
        except Refused as refusal:
            wrong = [*(wrong or []), *(t for texts in refusal.errors.values() for t in texts)]
    now = timezone.now().astimezone(member.premises.zone)
    empties = _empties(member, {row.get("barrel", "") for row in rows})
    last = rows[-1].get("barrel", "") if rows else ""
    offers = Offers(member.premises)
    tank = data.get("vessel") or ("" if request.POST else offers.only_place(operation))
    return render(
        request,
        "record/fill_row.html",
        {
            "operation": operation, "tank": tank,
            "tanks": offers.of(operation.form.base_fields["vessel"]) or [],
            "proof": data.get("proof", ""), "empties": data.get("empties", False),
            "at": f"{now:%Y-%m-%dT%H:%M}", "key": data.get("key") or str(uuid4()),
            "rows": _filled(rows, plan), "plan": plan, "totals": _totals(member, plan),
            "new": new, "next_code": new.get("barrel") or next_code(last, empties),
            "is_metered": bool(rows and "volume" in rows[-1]),
            "codes": empties, "problems": wrong or [],
        },
    )  # fmt: skip


def _filled(rows: list[dict[str, str]], plan: Plan | None) -> list[Filled]:
    poured = {leg.to.vessel: leg for leg in plan.legs if leg.purpose == "fill"} if plan else {}
    found = []
    for row in rows:
        leg = poured.get(row.get("barrel", ""))
        told = (to_decimal(leg.wine_gallons), to_decimal(leg.proof_gallons)) if leg else ("", "")
        found.append(Filled(row.get("barrel", ""), row, *(figure(x) if x else "" for x in told)))
    return found


def _totals(member: Membership, plan: Plan | None) -> dict[str, str]:
    """Barrels, gallons and proof gallons filled, and what the book then has in the tank."""
    if plan is None:
        return {}
    legs = [leg for leg in plan.legs if leg.purpose == "fill" and leg.to.vessel]
    tank = legs[0].origin if legs else None
    if tank is None:
        return {}
    wine = sum(leg.wine_gallons for leg in legs)
    proof = sum(leg.proof_gallons for leg in legs)
    rows = Holding.objects.filter(
        premises=member.premises, vessel__code=tank.vessel, lot__code=tank.lot, account=tank.account
    )
    held = [(row.wine_gallons - wine, row.proof_gallons - proof) for row in rows] or [(0, 0)]
    return {
        "barrels": str(len(legs)),
        "gallons": figure(to_decimal(wine)), "proof_gallons": figure(to_decimal(proof)),
        "tank": tank.vessel,
        "left_gallons": figure(to_decimal(held[0][0])),
        "left_proof_gallons": figure(to_decimal(held[0][1])),
    }  # fmt: skip


def _empties(member: Membership, taken: set[str]) -> list[str]:
    """The plant's empty barrels that are not in the row, in the order of their numbers."""
    rows = Barrel.objects.filter(vessel__premises=member.premises, is_gone=False)
    full = Holding.objects.filter(LIVE, premises=member.premises).values("vessel")
    codes = rows.exclude(vessel__in=full).values_list("vessel__code", flat=True)
    return sorted((code for code in codes if code not in taken), key=_numbered)


def _numbered(code: str) -> tuple[str, int]:
    found = NUMBERED.match(code)
    return (found[1], int(found[2])) if found else (code, 0)


def next_code(last: str, empties: list[str]) -> str:
    """The empty barrel after *last* in number; without one the first; "" when none is empty."""
    later = [code for code in empties if last and _numbered(code) > _numbered(last)]
    return next(iter(later or empties), "")
