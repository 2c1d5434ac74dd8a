"""A barrel's spells: from each fill to the moment it was empty again, read from the book."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime

from ledger.accounts import SPIRITS
from ledger.models import Lot, Movement, Vessel


@dataclass
class Spell:
    """One stay of spirits in a barrel. Hundredths of a gallon; ``end`` is None while it lasts."""

    start: datetime
    account: str
    entry: int
    lots: list[Lot] = field(default_factory=list)
    filled_wine: int = 0
    filled: int = 0
    proof: int | None = None
    topped: int = 0
    drawn: int = 0
    lost: int = 0
    gained: int = 0
    end: datetime | None = None

    @property
    def lot(self) -> Lot:
        """The lot it was filled with."""
        return self.lots[0]

    @property
    def put_in(self) -> int:
        """What was filled and topped up."""
        return self.filled + self.topped

    @property
    def lost_pct(self) -> str:
        """The loss in per cent of what was put in: ``7.8``; "" where nothing was."""
        return f"{(self.lost - self.gained) * 100 / self.put_in:.1f}" if self.put_in else ""


def spells_of(vessel: Vessel, *, before: datetime | None = None) -> list[Spell]:
    """The spells of *vessel*, oldest first; what was taken back is left out. One query a side.

    *before* leaves out what happened at that moment or later.
    """
    spells: list[Spell] = []
    now: Spell | None = None
    held = [0, 0]
    for row in _movements(vessel, before):
        comes, goes = row.to_vessel_id == vessel.pk, row.from_vessel_id == vessel.pk
        if comes and goes:
            if now and row.to_lot:
                now.lots.append(row.to_lot)
            continue
        if comes and now is None and row.to_lot:
            now = Spell(row.at, row.to_account, row.entry.number, [row.to_lot])
            spells.append(now)
        if now is None:
            continue
        _count(now, row, comes=comes)
        sign = 1 if comes else -1
        held = [held[0] + sign * row.wine_gallons, held[1] + sign * row.proof_gallons]
        if goes and held == [0, 0]:
            now.end, now = row.at, None
    return spells


def _movements(vessel: Vessel, before: datetime | None) -> Iterable[Movement]:
    related = ("entry", "from_lot", "to_lot")
    rows = Movement.objects.filter(entry__reversed_by=None, entry__reverses=None)
    rows = rows.select_related(*related)
    if before is not None:
        rows = rows.filter(at__lt=before)
    found = {row.pk: row for row in rows.filter(to_vessel=vessel, to_account__in=SPIRITS)}
    found |= {row.pk: row for row in rows.filter(from_vessel=vessel, from_account__in=SPIRITS)}
    return sorted(found.values(), key=lambda row: (row.at, row.pk))


def _count(spell: Spell, row: Movement, *, comes: bool) -> None:
    """Put one movement where it belongs."""
    proof = row.proof_gallons
    if comes and row.from_account == "gain":
        spell.gained += proof
    elif comes and row.at == spell.start:
        spell.filled_wine += row.wine_gallons
        spell.filled += proof
        spell.proof = row.proof if row.proof is not None else spell.proof
    elif comes:
        spell.topped += proof
        if row.to_lot and row.to_lot not in spell.lots:
            spell.lots.append(row.to_lot)
    elif row.to_account in ("loss", "shortage"):
        spell.lost += proof
    else:
        spell.drawn += proof
