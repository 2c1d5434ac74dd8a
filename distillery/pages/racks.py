"""Barrels as a rack list: many, so collapsed by the lot that is in them."""

from collections import defaultdict
from dataclasses import dataclass

from distillery.pages.standing import Content, content
from ledger.looking import Held
from ledger.models import Vessel


@dataclass(frozen=True)
class Rack:
    """Barrels that hold the same lot, with the sum of what is in them; ``content`` None: empty."""

    barrels: list[Vessel]
    content: Content | None


def racks_of(barrels: list[Vessel], held: dict[int, list[Held]]) -> list[Rack]:
    """The racks, longest filled first, the empty barrels last."""
    lots: dict[tuple[int, str], list[Held]] = defaultdict(list)
    for barrel in barrels:
        for one in held.get(barrel.pk, []):
            lots[(one.lot.pk, one.account)].append(one)
    oldest_first = sorted(lots.values(), key=lambda rows: min(row.since for row in rows))
    racks = [Rack([row.vessel for row in rows], content(summed(rows))) for rows in oldest_first]
    empty = [barrel for barrel in barrels if not held.get(barrel.pk) and not is_gone(barrel)]
    return [*racks, Rack(empty, None)] if empty else racks


def is_gone(vessel: Vessel) -> bool:
    """Whether a barrel was sold, sent away or retired by the plant's list."""
    sheet = getattr(vessel, "barrel", None)
    return bool(sheet and sheet.is_gone)


def summed(rows: list[Held]) -> Held:
    """Holdings of one lot in one account as one, since the oldest."""
    return Held(
        rows[0].lot, rows[0].vessel, rows[0].account,
        sum(row.amount for row in rows), sum(row.wine_gallons for row in rows),
        sum(row.proof_gallons for row in rows), since=min(row.since for row in rows),
    )  # fmt: skip
