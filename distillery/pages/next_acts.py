"""What the page of a recorded act offers to do next, and at which vessel."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from json import loads
from urllib.parse import urlencode

from django.urls import reverse

from distillery.follow_ups import follow_ups
from distillery.likely import OF_OPEN_BOTTLING, OPENS, is_its_turn
from distillery.models import BottlingRun, Membership
from distillery.operations import operations
from distillery.operations.base import Operation
from distillery.pages.standing import held_now
from distillery.people import may_record
from distillery.tables import operation_title
from ledger.models import Entry, Movement, Vessel


@dataclass(frozen=True, slots=True)
class Next:
    """An act that usually follows, and where it is recorded."""

    title: str
    address: str


def next_acts(entry: Entry, member: Membership) -> list[Next]:
    """What usually follows *entry*, at a vessel it touched; an act at the still leads back."""
    if mended := entry.reverses or entry.corrects:
        return _after_mending(entry, mended, member)
    rows = list(
        entry.movements.order_by("leg").select_related(
            "from_vessel", "to_vessel", "from_lot", "to_lot"
        )
    )
    vessels = [one for row in rows for one in (row.to_vessel, row.from_vessel) if one]
    vessels = list(dict.fromkeys(vessels)) or _named(entry)
    kind = vessels[0].kind if vessels else ""
    acts = [operations()[slug] for slug in follow_ups(entry.operation, kind)]
    acts = [one for one in acts if may_record(member.role, one) and _is_its_turn(one, vessels)]
    return _back_to_run(entry, rows) + _at(vessels, acts, entry)


def _at(vessels: list[Vessel], acts: Iterable[Operation], entry: Entry) -> list[Next]:
    """Each act at the first of *vessels* where it makes sense now, or at none yet."""
    held = held_now(entry.premises, vessel__in=vessels) if vessels else {}
    found = []
    for act in acts:
        fits = (one.code for one in vessels if _makes_sense(act, one, held.get(one.pk, [])))
        code = next(fits, "")
        query = f"?{urlencode({'vessel': code})}" if code else ""
        found.append(Next(act.title, reverse("record-operation", args=[act.slug]) + query))
    return found


def _is_its_turn(act: Operation, vessels: Sequence[Vessel]) -> bool:
    """Whether a bottling is open for *act*, where it opens one or belongs to one."""
    if act.slug != OPENS and act.slug not in OF_OPEN_BOTTLING:
        return True
    rows = BottlingRun.objects.filter(vessel__in=vessels, closed_by=None, is_void=False)
    return is_its_turn(act, is_open=rows.exists())


def _makes_sense(act: Operation, vessel: Vessel, held: Sequence) -> bool:
    accounts = {one.account for one in held} or {""}
    return vessel.kind in act.kinds and bool(accounts.intersection(act.accounts))


def _named(entry: Entry) -> list[Vessel]:
    """The vessel that an act without movements was filled in for."""
    known = operations().get(entry.operation)
    outer, _, inner = known.vessel_field.partition("-") if known else ("", "", "")
    value = loads(entry.form).get(outer) if outer else None
    value = value[0] if isinstance(value, list) and value else value
    code = value.get(inner) if isinstance(value, dict) else value
    rows = Vessel.objects.filter(premises=entry.premises_id, code=code)
    return list(rows) if isinstance(code, str) and code else []


def _back_to_run(entry: Entry, rows: Sequence[Movement]) -> list[Next]:
    """The page of the run that was charged, collected from, loaded or stopped."""
    remark = getattr(entry, "remark", None)
    lots = [lot for row in rows for lot in (row.from_lot, row.to_lot)]
    lots += [remark.lot] if remark else []
    code = next((lot.code for lot in lots if lot and lot.stage == "run"), "")
    return [Next(f"Back to run {code}", reverse("run", args=[code]))] if code else []


def _after_mending(entry: Entry, mended: Entry, member: Membership) -> list[Next]:
    """A corrected entry is looked at; one taken back is usually recorded anew first."""
    see = Next(f"See № {mended.number}", reverse("entry", args=[mended.number]))
    known = operations().get(mended.operation)
    if not entry.reverses_id or not known or not may_record(member.role, known):
        return [see]
    title = f"{operation_title(mended.operation)} anew"
    return [Next(title, reverse("record-operation", args=[known.slug])), see]
