"""Pouring together: what stands in a vessel and what comes to it make one new lot."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from distillery.ages import age_on, counts_new_only, in_no_wood, in_wood, youngest
from distillery.packages import day_of, wood_of
from distillery.plans import lot_like, move
from ledger.accounts import ACCOUNTS
from ledger.classes import CLASSES
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Lot, Vessel
from ledger.plan import Leg, NewLot, Place

# What the same-State rule of 27 CFR 19.326 leaves free: strong spirits, and wine, which is none.
UNBOUND = ("spirits_190", "wine")
# How spirits of one account come together in it.
TOGETHER = {
    "production": "move", "redistil": "mingle", "storage": "mingle", "processing": "blend",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Poured:
    """Where spirits go: the lot in the vessel afterwards, lots to open, the heel's movement."""

    place: Place
    lots: tuple[NewLot, ...]
    legs: tuple[Leg, ...]
    heel_wine: int = 0


def facts_of(lot: Lot | NewLot) -> NewLot:
    """The facts of *lot*, whether it is in the book or about to be."""
    return lot if isinstance(lot, NewLot) else lot_like(lot, lot.code)


def heel_in(look: Look, vessel: Vessel, account: str, *, field: str = "vessel") -> Held | None:
    """What *vessel* holds already, None if nothing. Raises BadFact if it is of another account."""
    found = look(vessel.code)
    other = next((held for held in found if held.account != account), None)
    if other:
        raise BadFact(
            f"{vessel.code} holds lot {other.lot.code} in {ACCOUNTS[other.account].title}; "
            f"{ACCOUNTS[account].title} cannot be poured onto it. Choose an empty vessel.",
            field=field,
        )
    if len(found) > 1:
        codes = ", ".join(held.lot.code for held in found)
        raise BadFact(f"{vessel.code} holds several lots ({codes}).", field=field)
    return found[0] if found else None


def refuse_wine(lots: Iterable[NewLot], *, field: str) -> None:
    """Wine is recorded by its own rules; raise BadFact where it would count as spirits."""
    for lot in lots:
        if lot.class_code == "wine":
            raise BadFact(f"Lot {lot.code} is wine; only spirits are taken here.", field=field)


def _equal(lots: Sequence[NewLot], name: str, otherwise: Any) -> Any:
    values = {getattr(lot, name) for lot in lots}
    return values.pop() if len(values) == 1 else otherwise


def _refuse_kinds(lots: Sequence[NewLot], *, field: str) -> None:
    """Raise BadFact for what may not be mingled in storage (27 CFR 19.326)."""
    for name in ("class_code", "source"):
        if len({getattr(lot, name) for lot in lots}) > 1:
            told = " and ".join(f"{lot.code} ({lot.name})" for lot in lots)
            raise BadFact(
                f"Spirits of different kind or source are not mingled in storage: {told}.",
                field=field,
            )
    states = {lot.state for lot in lots if lot.state}
    is_bound = lots[0].source == "domestic" and lots[0].class_code not in UNBOUND
    if is_bound and len(states) > 1:
        raise BadFact(
            "Domestic spirits under 190 proof are mingled in storage only when they were made "
            f"in the same State: {', '.join(sorted(states))}.",
            field=field,
        )


def _class_of(lots: Sequence[NewLot], given: str) -> str:
    same = _equal(lots, "class_code", "")
    if given or same:
        return given or same
    kinds = sorted({CLASSES[lot.class_code].title for lot in lots if lot.class_code})
    raise BadFact(
        f"These are of different kinds ({'; '.join(kinds)}). Say what they make.", field="family"
    )


def mingled(
    lots: Sequence[Lot | NewLot],
    code: str,
    *,
    account: str,
    stage: str,
    day: date,
    wood: str = "",
    class_code: str = "",
    field: str = "vessel",
    **given: Any,
) -> NewLot:
    """The new lot of all *lots* poured together in *account* on *day*.

    What is equal stays, what differs is left empty; the age is that of the youngest on that day
    (27 CFR 19.328), and runs on only in *wood*: "new" or "other" in a barrel, else "".
    *class_code* and *given* facts win. Raises BadFact for wine, for kinds that may not be
    mingled in storage, and for kinds that differ unsaid elsewhere.
    """
    parts = [facts_of(lot) for lot in lots]
    if any(lot.class_code != "wine" for lot in parts):  # wine may come to wine
        refuse_wine(parts, field=field)
    if account in ("storage", "redistil"):
        _refuse_kinds(parts, field=field)
    foreign = [lot.source for lot in parts if lot.source != "domestic"]
    facts: dict[str, Any] = {
        "unit": parts[0].unit,
        "class_code": _class_of(parts, class_code),
        "source": foreign[0] if foreign else "domestic",
        "redistilled": any(lot.redistilled for lot in parts),
        "reduced_rate": all(lot.reduced_rate for lot in parts),
        "distilled_at": _equal(parts, "distilled_at", None),
        "name": _equal(parts, "name", CLASSES[_class_of(parts, class_code)].family.capitalize()),
    }
    for name in ("type_code", "material", "producer", "state", "formula", "owner"):
        facts[name] = _equal(parts, name, "")
    facts |= {name: value for name, value in given.items() if value}
    new_only = counts_new_only(facts["class_code"], facts["type_code"])
    age = youngest((age_on(lot, day) for lot in parts), new_only=new_only)
    facts |= in_wood(age, wood=wood, day=day) if wood else in_no_wood(age)
    return NewLot(code=code, stage=stage, **facts)


def pour(
    look: Look,
    *,
    vessel: Vessel,
    account: str,
    sources: Sequence[Lot | NewLot],
    code: str,
    stage: str = "spirits",
    is_new: bool = False,
    field: str = "vessel",
    **given: Any,
) -> Poured:
    """Where lots *sources* end when poured into *vessel* in *account*.

    Into an empty vessel one lot stays itself, unless *is_new*, or its ageing begins or ends
    there. Onto a heel, or several together, they open lot *code*, and the heel moves to it:
    nothing is poured back into an old lot. *given* is as for ``mingled``. Raises BadFact.
    """
    heel = heel_in(look, vessel, account, field=field)
    unlike = [] if heel is None else [heel.lot]
    lots = {lot.code: lot for lot in [*sources, *unlike]}
    heel_wine = heel.wine_gallons if heel else 0
    wood = wood_of(look, vessel, heel.lot if heel else None)
    if len(lots) == 1 and not is_new and next(iter(lots.values())).wood == wood == "":
        (same,) = lots
        return Poured(Place(account, same, vessel.code), (), (), heel_wine)
    new = mingled(
        list(lots.values()), code, account=account, stage=stage, day=day_of(look), wood=wood,
        field=field, **given,
    )  # fmt: skip
    place = Place(account, code, vessel.code)
    legs = (move(heel, place, TOGETHER[account]),) if heel else ()
    return Poured(place, (new,), legs, heel_wine)
