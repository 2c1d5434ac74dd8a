"""What the door checks of a plan before it looks at any holding: shape, flows, integers."""

from functools import cache
from typing import TYPE_CHECKING

from django.db import models

from ledger.accounts import ACCOUNTS
from ledger.classes import CLASSES, SOURCES
from ledger.errors import BadFact, BadPlan, UnknownFlow
from ledger.flows import FLOWS, WITHOUT_PROOF_GALLONS
from ledger.models import Designation, Entry, Lot
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.quantities import LIMIT, UNITS

if TYPE_CHECKING:
    from ledger.writing import Act

COOPERAGE = ("", "new", "used", "tank")
MAX_PROOF = 2000  # tenths of a degree; absolute alcohol is 200 proof (27 CFR 30.11)


def _check_place(place: Place) -> None:
    account = ACCOUNTS.get(place.account)
    if account is None:
        raise UnknownFlow(f"There is no account “{place.account}”.")
    if account.inside and not (place.lot and place.vessel):
        raise BadPlan(f"A movement in {account.title} needs a lot and a vessel.")
    if not account.inside and place.vessel:
        raise BadPlan(f"{account.title} is outside the plant and has no vessel.")


def _check_leg(leg: Leg, *, signed: bool) -> None:
    _check_place(leg.origin)
    _check_place(leg.to)
    flow = (leg.origin.account, leg.to.account, leg.purpose)
    if flow not in FLOWS:
        raise UnknownFlow(
            f"The book has no movement from {ACCOUNTS[flow[0]].title} to "
            f"{ACCOUNTS[flow[1]].title} for “{flow[2]}”."
        )
    three = (leg.amount, leg.wine_gallons, leg.proof_gallons)
    # Django would turn 1.9 into 1 without a word, so the type itself is checked.
    if any(type(value) is not int for value in three):
        raise BadPlan("Quantities in the book are whole numbers.")
    if not any(three):
        raise BadPlan("A movement moves something.")
    if any(abs(value) > LIMIT for value in three):
        raise BadFact("That quantity is too large for the book.")
    if not signed and min(three) < 0:
        raise BadFact("A quantity cannot be negative; take an entry back by reversing it.")
    if leg.proof is not None and (type(leg.proof) is not int or not 0 <= leg.proof <= MAX_PROOF):
        raise BadPlan("Proof on a movement is a whole number of tenths, 0 to 2000.")
    if leg.cooperage not in COOPERAGE or type(leg.taxed) is not bool:
        raise BadPlan("Cooperage is new, used or tank; taxed is true or false.")
    if leg.proof_gallons and {leg.origin.account, leg.to.account} & WITHOUT_PROOF_GALLONS:
        raise BadPlan("Proof gallons do not pass this boundary.")


@cache
def _longest(*tables: type[models.Model]) -> dict[str, int]:
    """The characters each text column takes; SQLite would keep more, PostgreSQL would fail."""
    fields = [field for table in tables for field in table._meta.concrete_fields]
    return {
        f.name: f.max_length for f in fields if isinstance(f, models.CharField) and f.max_length
    }


def _check_texts(row: object, *tables: type[models.Model]) -> None:
    for name, longest in _longest(*tables).items():
        value = getattr(row, name, "")
        if not isinstance(value, str):
            raise BadPlan(f"{name} is text.")
        if len(value) > longest:
            told = name.replace("_", " ")
            raise BadFact(f"The {told} is too long; use {longest} characters at most.")


def _check_lot(lot: NewLot) -> None:
    if not lot.code or lot.unit not in UNITS:
        raise BadPlan("A new lot needs a code and a unit of the book.")
    for value in (lot.distilled_at, lot.bottle_ml, lot.per_case, lot.label_proof):
        if value is not None and (type(value) is not int or value < 0):
            raise BadPlan("A lot's figures are whole numbers.")
    _check_texts(lot, Lot, Designation)
    if lot.class_code and lot.class_code not in CLASSES:
        raise BadFact(f"“{lot.class_code}” is not a class of spirits.")
    if lot.source not in SOURCES:
        raise BadFact(f"“{lot.source}” is not a source; one of {', '.join(SOURCES)}.")


def check_shape(plan: Plan, *, signed: bool) -> None:
    """Refuse a malformed plan; *signed* allows the negative quantities of a correction."""
    for lot in plan.lots:
        _check_lot(lot)
    codes = [lot.code for lot in plan.lots]
    if len(set(codes)) != len(codes):
        raise BadFact("Two new lots would have the same code.")
    for leg in plan.legs:
        _check_leg(leg, signed=signed)


def check_act(act: "Act", plan: Plan) -> None:
    """Refuse texts that the entry's columns do not take; codes are filled in by now."""
    _check_texts(act, Entry)
    _check_texts(plan, Entry)
    for lot in plan.lots:
        _check_texts(lot, Lot)


def check_columns(leg: Leg, before: object, after: object) -> None:
    """Refuse a move inside storage that would change a report's column or its source.

    Without this, TTB F 5110.11 would silently stop balancing by column; a wrong kind is mended
    by a reclass, which has lines of its own.
    """
    if leg.origin.account != "storage" or leg.to.account != "storage" or leg.purpose == "reclass":
        return
    for name in ("class_code", "source"):
        if getattr(before, name) != getattr(after, name):
            raise BadFact("Spirits of different kind or source are not mingled in storage.")
