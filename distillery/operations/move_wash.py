"""Move wash between vessels, combine fermenters, leave the lees (27 CFR 19.584(c))."""

from collections.abc import Sequence
from typing import Any

from distillery.forms import (
    CodeField,
    Part,
    QuantityField,
    RecordForm,
    RowsField,
    VesselField,
    YesField,
)
from distillery.operations.base import Fields, Operation
from distillery.plans import move, place, room_question, wg
from distillery.wash import HOLDERS, one_wash, wash_in
from ledger.errors import BadFact
from ledger.looking import Held
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.quantities import to_hundredths


class WashPart(Part):
    """One vessel drawn from: what was moved, what lees were thrown away, what stays."""

    vessel = VesselField(*HOLDERS, label="From")
    volume = QuantityField(
        "volume", required=False, above=1, label="Gallons moved, empty for all of it"
    )
    lees = QuantityField("volume", required=False, above=1, label="Lees thrown away")
    rest_stays = YesField(label="The rest stays there")


class MoveWashForm(RecordForm):
    """Which vessels into which."""

    sources = RowsField(WashPart, label="Moved from")
    into = VesselField(*HOLDERS, label="Into")
    lot = CodeField(label="Code of a new lot, empty for the next number")


class MoveWash(Operation):
    """One wash into an empty vessel stays itself; several together are a new lot of all."""

    slug = "move-wash"
    title = "Move or combine wash"
    group = "Materials and mash"
    form = MoveWashForm
    hazards = ("co2", "confined_space", "hot_liquor")
    kinds = HOLDERS
    accounts = ("fermenting",)
    vessel_field = "sources-vessel"
    is_rare = True

    def plan(self, fields: Fields, look: Any) -> Plan:
        """Gallons into one vessel, lees to residue, what neither explains to loss or gain."""
        rows, into = fields["sources"], fields["into"]
        _refuse_twice(rows, into.code)
        sources = [one_wash(look, row["vessel"].code, field="sources") for row in rows]
        heel = wash_in(look, into.code, field="into")
        lots = {held.lot.code: held.lot for held in (*sources, *heel)}
        code = next(iter(lots)) if len(lots) == 1 else fields["lot"] or "W-{n}"
        to = Place("fermenting", code, into.code)
        purpose = "move" if len(lots) == 1 else "mingle"
        stays_itself = [held for held in heel if held.lot.code == code]
        legs = [move(held, to, "mingle") for held in heel if held not in stays_itself]
        for held, row in zip(sources, rows, strict=True):
            legs += _legs(held, row, to, purpose)
        moved = sum(leg.wine_gallons for leg in legs if leg.to == to)
        wine = moved + sum(held.wine_gallons for held in stays_itself)
        return Plan(
            tuple(legs), () if len(lots) == 1 else (_combined(code, sources, heel),),
            lines=tuple(_told(legs, into.code)), questions=room_question(into, wine, look),
        )  # fmt: skip


def _refuse_twice(rows: Sequence[dict[str, Any]], into: str) -> None:
    codes = [row["vessel"].code for row in rows]
    if len(set(codes)) != len(codes):
        raise BadFact("A vessel stands here twice. Give each one row.", field="sources")
    if into in codes:
        raise BadFact(f"{into} is moved from and into. Choose another.", field="into")


def _legs(held: Held, row: dict[str, Any], to: Place, purpose: str) -> list[Leg]:
    """What leaves one vessel."""
    lees = to_hundredths(row["lees"] or 0)
    whole = held.wine_gallons - lees
    volume = whole if row["volume"] is None else to_hundredths(row["volume"])
    at, code = place(held), held.lot.code
    if volume <= 0:
        raise BadFact(
            f"{at.vessel} holds {wg(held.wine_gallons)}; nothing is left to move.", field="sources"
        )
    rest = 0 if row["rest_stays"] else whole - volume
    legs = [Leg(Place("gain", code), at, "move", 0, -rest)] if rest < 0 else []
    legs.append(Leg(at, to, purpose, 0, volume))
    if lees:
        legs.append(Leg(at, Place("residue", code), "move", 0, lees))
    if rest > 0:
        legs.append(Leg(at, Place("loss", code), "move", 0, rest))
    return legs


def _combined(code: str, sources: Sequence[Held], heel: Sequence[Held]) -> NewLot:
    parts = [*sources, *heel]
    names = dict.fromkeys(held.lot.name for held in parts)
    materials = {held.lot.designation.material for held in parts}
    most = max(parts, key=lambda held: held.wine_gallons).lot
    return NewLot(
        code, "wash", "gal", " and ".join(names)[:80],
        material=materials.pop() if len(materials) == 1 else most.designation.material,
    )  # fmt: skip


def _told(legs: Sequence[Leg], into: str) -> list[str]:
    words = {"residue": "lees thrown away", "loss": "not found again", "gain": "more than the book"}
    lines = []
    for leg in legs:
        if leg.to.vessel == into and leg.origin.vessel != into:
            lines.append(f"{wg(leg.wine_gallons)} from {leg.origin.vessel} into {into}.")
        for side, vessel in ((leg.to, leg.origin.vessel), (leg.origin, leg.to.vessel)):
            if side.account in words:
                lines.append(f"{wg(leg.wine_gallons)} of {vessel}: {words[side.account]}.")
    return lines
