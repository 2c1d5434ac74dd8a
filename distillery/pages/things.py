"""One vessel, one lot: what it is, what it holds, where it came from, what moved."""

from datetime import date, timedelta
from typing import Any

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from distillery.ages import WOODS, age_on, counted_on
from distillery.botanicals import bills_for
from distillery.check_due import Due
from distillery.curves.voided import void_words
from distillery.models import Membership, Reading
from distillery.pages.bottlings import last_in, of_lot
from distillery.pages.floor import level_of, offered_to
from distillery.pages.people import lot_for, member_for, vessel_for
from distillery.pages.sentences import RELATED, quantity, strength, title_of
from distillery.pages.standing import (
    acts_at,
    content,
    held_now,
    most_first,
    temperature_words,
)
from distillery.people import may_reverse
from distillery.remarks import shown as remarks_of
from distillery.remarks import state_in
from distillery.removals import not_gone, where_it_stands
from distillery.shown_in import gravity_words, shown_in
from distillery.tables import MovementTable, operation_title, paged
from ledger.classes import CLASSES, SOURCES
from ledger.looking import Held
from ledger.models import Descent, Entry, Lot, Movement, Vessel
from ledger.models.book import LIVE

READINGS_SHOWN = 40
NEW = timedelta(days=14)  # so long a reading is voided from here; later by its name


@require_safe
def vessel(request: HttpRequest, code: str) -> HttpResponse:
    """What it holds, its readings, and all that went in and out."""
    member = member_for(request)
    found = vessel_for(member.premises, code)
    held = held_now(member.premises, vessel=found)[found.pk]
    remarks = remarks_of(vessel=found)
    bottling = last_in(found)
    is_open = bottling if isinstance(bottling, Due) else None
    state = state_in(remarks, held)
    return render(
        request,
        "things/vessel.html",
        {
            "vessel": found,
            "title": title_of(found),
            "level": level_of(found, held),
            "contents": [content(one) for one in most_first(held)],
            "acts": acts_at(found, held, offered_to(member), bottling=is_open, state=state),
            "run": _run_in(found, held),
            "readings": _readings(found, member),
            "bottling": bottling,
            "waiting": _waiting(found),
            "remarks": remarks,
            "state": state,
            "bills": [
                pair for one in held if one.lot.stage == "run" for pair in bills_for(one.lot)
            ],
            "table": _moved(request, Q(from_vessel=found) | Q(to_vessel=found), member),
        },
    )


def _run_in(vessel: Vessel, held: list[Held]) -> str:
    """The code of the run that a still is charged with; "" for none."""
    runs = (one.lot.code for one in held if one.account != "materials")
    return next(runs, "") if vessel.kind == Vessel.Kind.STILL else ""


def _waiting(vessel: Vessel) -> list[tuple[Entry, str]]:
    """(removal, where its goods wait) of what left a store's stock and is not gone."""
    if vessel.kind != Vessel.Kind.STORE:
        return []
    return [(one, where_it_stands(one)) for one in not_gone(vessel.premises, store=vessel)]


def _readings(vessel: Vessel, member: Membership) -> list[dict[str, Any]]:
    """The newest readings in the plant's units; what was voided says who and why."""
    shown, zone, now = shown_in(member.premises), member.premises.zone, timezone.now()
    rows = Reading.objects.filter(vessel=vessel).select_related("lot", "void", "premises")
    return [
        {
            "row": row, "temperature": temperature_words(row, shown.temperature),
            "gravity": gravity_words(row.gravity, shown.gravity).removeprefix("SG "),
            "voided": void_words(row, zone) if hasattr(row, "void") else "",
            "may_void": not hasattr(row, "void")
            and row.recorded_at > now - NEW
            and may_reverse(member.role, member.user.get_username(), row, now),
        }
        for row in rows.order_by("-at", "-pk")[:READINGS_SHOWN]
    ]  # fmt: skip


def _moved(request: HttpRequest, where: Q, member: Membership) -> MovementTable:
    rows = Movement.objects.filter(where).select_related("entry", *RELATED)
    table = MovementTable(rows.order_by("-at", "-pk"), zone=member.premises.zone)
    return paged(request, table)


@require_safe
def lot(request: HttpRequest, code: str) -> HttpResponse:
    """Its facts, where it stands now, its parents and children, and its movements."""
    member = member_for(request)
    found = lot_for(member.premises, code)
    held = held_now(member.premises, lot=found)
    standing = [(one.vessel, content(one)) for rows in held.values() for one in rows]
    return render(
        request,
        "things/lot.html",
        {
            "lot": found,
            "facts": facts_of(found, timezone.localdate(timezone=member.premises.zone)),
            "opened_by": operation_title(found.opened_by.operation),
            "standing": standing,
            "in_barrels": any(vessel.kind == Vessel.Kind.BARREL for vessel, _ in standing),
            "bills": bills_for(found),
            "bottling": of_lot(found),
            "remarks": remarks_of(lot=found),
            "parents": _kin(found.parents.select_related("parent"), "parent"),
            "children": _kin(found.children.select_related("child"), "child"),
            "table": _moved(request, Q(from_lot=found) | Q(to_lot=found), member),
        },
    )


def _kin(rows: Any, side: str) -> list[tuple[Lot, str]]:
    """(lot, how much came or went) of descents, oldest lot first; what was taken back is out."""
    found: list[Descent] = list(rows.filter(LIVE).order_by(side))
    return [
        (
            getattr(row, side),
            quantity(
                amount=row.amount, unit=getattr(row, side).unit,
                wine_gallons=row.wine_gallons, proof_gallons=row.proof_gallons,
            ),
        )
        for row in found
    ]  # fmt: skip


def _ages(lot: Lot, day: date) -> list[tuple[str, str]]:
    """Its age on *day*, and what of it stands against its name (27 CFR 5.1, 5.74)."""
    age = age_on(lot, day)
    told = [(f"Age in {WOODS[wood]}", str(span)) for wood, span in age.spells()]
    if told and (counted := counted_on(lot, day)) != age.total:
        told.append(("Age that counts", str(counted)))
    return told


def facts_of(lot: Lot, day: date) -> list[tuple[str, str]]:
    """The facts of a lot that say something, as label and value; its age is that on *day*."""
    said = lot.designation
    told = [
        ("Stage", lot.stage),
        ("Class", getattr(CLASSES.get(said.class_code), "title", said.class_code)),
        ("Type", said.type_code),
        ("Source", SOURCES.get(said.source, said.source) if lot.unit == "pg" else ""),
        ("Form", said.form),
        ("Material", said.material),
        ("Redistilled", "yes" if said.redistilled else ""),
        ("Distilled at", strength(lot.distilled_at)),
        ("In wood since", f"{lot.aged_from:%-d %b %Y}" if lot.aged_from else ""),
        ("Wood", WOODS.get(lot.wood, "")),
        *_ages(lot, day),
        ("Formula", lot.formula),
        ("Owner", lot.owner),
        ("Producer or supplier", lot.producer),
        ("State", lot.state),
        ("Product", lot.product),
        ("Bottle", f"{lot.bottle_ml} mL" if lot.bottle_ml else ""),
        ("Bottles a case", str(lot.per_case or "")),
        ("Label proof", strength(lot.label_proof)),
    ]
    return [(label, value) for label, value in told if value]
