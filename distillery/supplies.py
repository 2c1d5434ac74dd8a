"""Empty bottles, closures, labels and the like: counted by the piece, used up or scrapped.

27 CFR 19.603 asks for the receipt, use and disposition of liquor bottles; the others are kept
the same way, so that a lot of corks is found again.
"""

from collections.abc import Iterable, Sequence
from typing import Any

from django.core.exceptions import ValidationError

from distillery.forms import LotField, Part, QuantityField, VesselField
from distillery.plans import place
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Lot
from ledger.plan import Leg, Place, Question

EMPTIES = "bottle"  # the kind of material that 27 CFR 19.603 is about
WHERE = ("bin", "tank", "tote", "store")


class SupplyPart(Part):
    """A lot counted by the piece: how many were used, how many scrapped beside them.

    In a record: ``{"lot": "G-7", "used": 521, "scrapped": 2}``.
    """

    lot = LotField("material", label="Lot")
    used = QuantityField("count", required=False, label="Used")
    scrapped = QuantityField("count", required=False, label="Scrapped")
    vessel = VesselField(*WHERE, required=False, label="From, if in several places")

    def clean(self) -> dict[str, Any]:
        """Whole numbers of a lot that is counted by the piece."""
        data = super().clean() or {}
        lot = data.get("lot")
        if lot and lot.unit != "each":
            raise ValidationError(
                {"lot": f"Lot {lot.code} is counted in {lot.unit}; this needs single pieces."}
            )
        for name in ("used", "scrapped"):
            data[name] = int(data.get(name) or 0)
        if not self.errors and not (data["used"] or data["scrapped"]):
            raise ValidationError({"used": "Give how many were used or scrapped, like 521."})
        return data


def standing_at(look: Look, row: dict[str, Any], wanted: int, *, field: str) -> Held:
    """Where pieces are taken from: the named place, else the first that has enough.

    Raises BadFact, beside *field*, for a lot the book no longer has.
    """
    lot, vessel = row["lot"], row["vessel"]
    found = look.of_lot(lot.code, "materials")
    if vessel is not None:
        found = [held for held in found if held.vessel.code == vessel.code]
    if not found:
        where = f" in {vessel.code}" if vessel else ""
        raise BadFact(f"The book has nothing left of lot {lot.code}{where} then.", field=field)
    return next((held for held in found if held.amount >= wanted), found[0])


def supply_legs(
    look: Look,
    rows: Iterable[dict[str, Any]],
    *,
    into: Lot | None = None,
    code: str = "",
    purpose: str = "bottle",
    field: str = "materials",
) -> tuple[Leg, ...]:
    """Used pieces across the ``glass`` boundary, scrapped ones to loss.

    The finished lot *into* (or the one to be opened under *code*) becomes a child of each lot
    used. Pieces received after that lot was opened are younger than it, and the book has no
    parent younger than its child: those cross under their own lot, and the entry tells.
    """
    legs: list[Leg] = []
    drawn: dict[str, int] = {}
    for row in rows:
        lot = row["lot"]
        wanted = row["used"] + row["scrapped"]
        drawn[lot.code] = drawn.get(lot.code, 0) + wanted
        at = place(standing_at(look, row, drawn[lot.code], field=field))
        if row["used"]:
            older = code and (into is None or lot.pk < into.pk)
            end = Place("glass", code if older else lot.code)
            legs.append(Leg(at, end, purpose, row["used"]))
        if row["scrapped"]:
            legs.append(Leg(at, Place("loss", lot.code), "breakage", row["scrapped"]))
    return tuple(legs)


def empties_question(rows: Sequence[dict[str, Any]], bottles: int) -> tuple[Question, ...]:
    """Asks when the empty bottles used are not as many as the bottles filled (27 CFR 19.603)."""
    used = [row["used"] for row in rows if row["lot"].designation.material == EMPTIES]
    if not used or sum(used) == bottles:
        return ()
    text = (
        f"{bottles:,} bottles were filled and {sum(used):,} empty bottles used "
        "(27 CFR 19.603). Keep both counts?"
    )
    return (Question("empties-differ", text),)


def told(rows: Iterable[dict[str, Any]]) -> tuple[tuple[str, str], ...]:
    """(name of the lot, what was used and scrapped) for a slip."""
    pairs = []
    for row in rows:
        more = f", {row['scrapped']:,} scrapped" if row["scrapped"] else ""
        pairs.append((f"{row['lot'].name}, lot {row['lot'].code}", f"{row['used']:,} used{more}"))
    return tuple(pairs)
