"""A barrel's life beside the book: what was done to it, where it stands, what it held before."""

from collections.abc import Iterable
from datetime import datetime
from decimal import Decimal
from typing import Any

from distillery.barrel_spells import spells_of
from distillery.models import Barrel, BarrelAct, VesselSheet
from distillery.packages import NEVER_FILLED
from ledger.accounts import SPIRITS
from ledger.looking import Look
from ledger.models import Entry, Movement, Vessel
from ledger.plan import Question, Slip

Kind = BarrelAct.Kind
MOST_POUNDS = 99999
GONE, RETURNED = (Kind.SOLD, Kind.RETIRED), (Kind.RECEIVED, Kind.BACK)
WEIGHED = (Kind.WEIGHED, Kind.RECEIVED)
FROM = "from "


def pounds(weight_lb: Decimal | None) -> Decimal | None:
    """A weight to keep, to the hundredth; None for none, or for more than any barrel weighs."""
    if weight_lb is None or weight_lb >= MOST_POUNDS:
        return None
    return weight_lb.quantize(Decimal("0.01"))


def note(entry: Entry, kind: str, vessels: Iterable[Vessel], **facts: Any) -> None:
    """Keep that *kind* happened to *vessels* in *entry*; inside the entry's transaction."""
    note_each(entry, kind, ((vessel, facts) for vessel in vessels))


def note_each(entry: Entry, kind: str, rows: Iterable[tuple[Vessel, dict[str, Any]]]) -> None:
    """As ``note``, with facts of its own for each barrel."""
    acts = [
        BarrelAct(
            premises=entry.premises, entry=entry, vessel=vessel, kind=kind, at=entry.happened_at,
            **facts,
        )
        for vessel, facts in rows
    ]  # fmt: skip
    BarrelAct.objects.bulk_create(acts)
    _settle([act.vessel_id for act in acts])


def note_moved(entry: Entry, vessels: Iterable[Vessel], place: str) -> None:
    """Keep that *vessels* stand at *place* now, and where the list had each before."""
    rooms = dict(VesselSheet.objects.filter(vessel__in=vessels).values_list("vessel_id", "room"))
    note_each(entry, Kind.MOVED, (
        (one, {"place": place, "words": f"{FROM}{rooms[one.pk]}" if rooms.get(one.pk) else ""})
        for one in vessels
    ))  # fmt: skip


def take_back(entry: Entry) -> None:
    """What an entry that is taken back noted says nothing any more."""
    rows = BarrelAct.objects.filter(entry=entry)
    acts = list(rows)
    rows.update(is_void=True)
    _stand_where_they_stood([act for act in acts if act.kind == Kind.MOVED])
    left = any(act.kind in GONE for act in acts)
    _settle([act.vessel_id for act in acts], never_left=left)


def _stand_where_they_stood(moves: Iterable[BarrelAct]) -> None:
    """Back to where the list had each, unless it was put elsewhere since."""
    for move in moves:
        here = VesselSheet.objects.filter(vessel=move.vessel_id, room=move.place)
        here.update(room=move.words.removeprefix(FROM))


def _settle(vessel_ids: Iterable[int], *, never_left: bool = False) -> None:
    """Bring the plant's list to the newest acts: place, empty weight, and whether it is here.

    What the owner set there by hand stays, unless an act says otherwise or *never_left*.
    """
    ids = list(vessel_ids)
    acts: dict[int, list[BarrelAct]] = {pk: [] for pk in ids}
    for act in BarrelAct.objects.filter(vessel__in=ids, is_void=False).order_by("at", "pk"):
        acts[act.vessel_id].append(act)
    _settle_places({pk: _last_place(rows) for pk, rows in acts.items()})
    sheets = list(Barrel.objects.filter(vessel__in=ids))
    for sheet in sheets:
        rows = acts[sheet.vessel_id]
        known = [row for row in rows if row.kind in (*GONE, *RETURNED)]
        if known or never_left:
            sheet.is_gone = bool(known and known[-1].kind in GONE)
        tares = [row.tare_lb for row in rows if row.kind in WEIGHED and row.tare_lb is not None]
        sheet.tare_lb = tares[-1] if tares else sheet.tare_lb
    Barrel.objects.bulk_update(sheets, ["is_gone", "tare_lb"])


def _last_place(acts: Iterable[BarrelAct]) -> str:
    return next((act.place for act in reversed(list(acts)) if act.place), "")


def _settle_places(places: dict[int, str]) -> None:
    """Where each stands; a barrel of which no place was told stays where the list has it."""
    told = {pk: place for pk, place in places.items() if place}
    sheets = list(VesselSheet.objects.filter(vessel__in=told))
    for sheet in sheets:
        sheet.room = told.pop(sheet.vessel_id)
    VesselSheet.objects.bulk_update(sheets, ["room"])
    VesselSheet.objects.bulk_create(
        VesselSheet(vessel_id=pk, room=room) for pk, room in told.items()
    )


def code_on(sheet: Barrel, at: datetime) -> str:
    """Its cooperage code as a gauge record of that moment tells it (27 CFR 19.618).

    C, P and the like on the first fill, R afterwards, REC once recharred; ``PS`` beside it when
    it was steamed or soaked since it was last emptied. What stands in it keeps the code of its
    fill.
    """
    spells = spells_of(sheet.vessel, before=at)
    if spells and (spells[-1].end is None or spells[-1].end >= at):
        at = spells.pop().start
    acts = BarrelAct.objects.filter(vessel=sheet.vessel, is_void=False, at__lte=at)
    code = str(sheet.cooperage)
    if acts.filter(kind=Kind.RECHARRED).exists():
        code = str(Barrel.Cooperage.RECHARRED)
    elif code in NEVER_FILLED and (sheet.was_filled_before or spells):
        code = str(Barrel.Cooperage.REUSED)
    prepared = acts.filter(kind=Kind.PREPARED)
    if spells and spells[-1].end:
        prepared = prepared.filter(at__gte=spells[-1].end)
    return f"{code} PS" if prepared.exists() and code != Barrel.Cooperage.STEAMED else code


def last_out(vessel: Vessel, before: datetime) -> Movement | None:
    """The last spirits that left *vessel* before a moment, losses and reversals apart."""
    rows = Movement.objects.filter(from_vessel=vessel, from_account__in=SPIRITS, at__lte=before)
    rows = rows.filter(entry__reversed_by=None, entry__reverses=None, to_vessel__isnull=False)
    return rows.select_related("from_lot").order_by("-at", "-pk").first()


def held_before(vessel: Vessel, look: Look) -> str:
    """What was in *vessel* before, by the book, else by what was told when it came; or ""."""
    out = last_out(vessel, look.at)
    if out and out.from_lot:
        day = out.at.astimezone(look.premises.zone)
        return f"{out.from_lot.name}, lot {out.from_lot.code}, emptied {day:%-d %b %Y}"
    sheet = Barrel.objects.filter(vessel=vessel).first()
    if sheet is None:
        return ""
    return sheet.held_before or ("spirits, before it came here" if sheet.was_filled_before else "")


def before_slip(vessels: Iterable[Vessel], look: Look) -> tuple[Slip, ...]:
    """A slip of what each barrel held before; none where all are new."""
    told = tuple((one.code, text) for one in vessels if (text := held_before(one, look)))
    return (Slip("Held before", told),) if told else ()


def gone_question(vessels: Iterable[Vessel]) -> tuple[Question, ...]:
    """A question where a barrel that was sold, sent away or retired is used again."""
    rows = Barrel.objects.filter(vessel__in=list(vessels), is_gone=True).select_related("vessel")
    codes = ", ".join(sorted(row.vessel.code for row in rows))
    if not codes:
        return ()
    text = f"By the plant's list {codes} left, sold or retired. Is it back in use?"
    return (Question("barrel-gone", text),)


def filled_with(vessel: Vessel, lot_code: str, before: datetime) -> int | None:
    """Hundredths of a proof gallon that *vessel* was first filled with of that lot, or None.

    A lot that topping up made begins with what stood there and what came, both at that moment.
    """
    rows = Movement.objects.filter(to_vessel=vessel, to_lot__code=lot_code, at__lte=before)
    rows = rows.filter(proof_gallons__gt=0, to_account__in=SPIRITS).order_by("at", "pk")
    found = list(rows.values_list("at", "proof_gallons"))
    return sum(proof for at, proof in found if at == found[0][0]) if found else None
