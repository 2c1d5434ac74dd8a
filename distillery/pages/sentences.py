"""Movements as a person reads them: *41.40 PG · Tank 3 (storage) → Bottling tank (processing)*."""

from collections.abc import Iterable
from dataclasses import dataclass

from ledger.accounts import ACCOUNTS
from ledger.models import Entry, Lot, Movement, Premises, Vessel
from ledger.plan import Leg, Place, Plan
from ledger.quantities import COUNTED, amount_from_book, to_decimal
from ledger.reversing import leg_of

UNIT_WORDS = {"bottle": "bottles", "each": "pieces", "ml": "mL"}
MINUS = "−"


@dataclass(frozen=True, slots=True)
class Sentence:
    """One movement as text; ``lots`` is empty where no lot takes part."""

    quantity: str
    origin: str
    to: str
    purpose: str
    from_lot: str = ""
    to_lot: str = ""
    strength: str = ""
    cooperage: str = ""

    def __str__(self) -> str:
        return f"{self.quantity} · {self.origin} → {self.to}"

    @property
    def lots(self) -> str:
        """The lot, or both where matter changes its name."""
        return " → ".join(dict.fromkeys(lot for lot in (self.from_lot, self.to_lot) if lot))


def figure(value: object) -> str:
    """A figure with thousands parted and a true minus: ``−1,250.50``."""
    return f"{value:,f}".replace("-", MINUS)


def quantity(*, amount: int, unit: str, wine_gallons: int, proof_gallons: int) -> str:
    """The book's three whole numbers in words, what is zero left out."""
    parts = []
    if amount and unit not in ("pg", ""):
        parts.append(f"{figure(amount_from_book(amount, unit))} {_unit_word(unit, amount)}")
    if proof_gallons:
        parts.append(f"{figure(to_decimal(proof_gallons))} PG")
    if wine_gallons:
        parts.append(f"{figure(to_decimal(wine_gallons))} gal")
    return ", ".join(parts) or "nothing"


def _unit_word(unit: str, amount: int) -> str:
    word = UNIT_WORDS.get(unit, unit)
    return word.removesuffix("s") if unit in COUNTED and abs(amount) == 1 else word


def strength(tenths: int | None) -> str:
    """Proof for a person: ``118.4 proof``."""
    return "" if tenths is None else f"{tenths // 10}.{tenths % 10} proof"


def account_title(code: str) -> str:
    """The words for an account."""
    return ACCOUNTS[code].title if code in ACCOUNTS else code


def title_of(vessel: Vessel) -> str:
    """What the vessel is called on the floor: its title, else its code."""
    sheet = getattr(vessel, "sheet", None)
    return (sheet and sheet.title) or vessel.code


def _place(place: Place, titles: dict[str, str]) -> str:
    account = account_title(place.account)
    if not place.vessel:
        return account
    return f"{titles.get(place.vessel, place.vessel)} ({account})"


def _unknown(code: str) -> str:
    # The number of an entry is known only when it is written.
    return code.replace("{n}", "…")


def sentence(leg: Leg, *, units: dict[str, str], titles: dict[str, str]) -> Sentence:
    """*leg* as a sentence; *units* by lot code, *titles* by vessel code."""
    # The amount is counted in the unit of the lot that stands in a vessel: pounds of grain go to
    # a wash that is told in gallons.
    holds = leg.origin if leg.origin.vessel else leg.to
    unit = units.get(holds.lot, "")
    return Sentence(
        quantity(
            amount=leg.amount, unit=unit,
            wine_gallons=leg.wine_gallons, proof_gallons=leg.proof_gallons,
        ),
        _place(leg.origin, titles), _place(leg.to, titles), leg.purpose.replace("_", " "),
        _unknown(leg.origin.lot), _unknown(leg.to.lot), strength(leg.proof), leg.cooperage,
    )  # fmt: skip


def of_plan(plan: Plan, premises: Premises) -> list[Sentence]:
    """What *plan* would move, in two queries."""
    places = [place for leg in plan.legs for place in (leg.origin, leg.to)]
    codes = {place.lot for place in places if place.lot}
    lots = Lot.objects.filter(premises=premises, code__in=codes).values_list("code", "unit")
    units = {**dict(lots), **{lot.code: lot.unit for lot in plan.lots}}
    named = {place.vessel for place in places if place.vessel}
    rows = Vessel.objects.filter(premises=premises, code__in=named).select_related("sheet")
    titles = {vessel.code: title_of(vessel) for vessel in rows}
    return [sentence(leg, units=units, titles=titles) for leg in plan.legs]


def of_movement(movement: Movement) -> Sentence:
    """A movement of the book; its lots and vessels with sheets are to be read along."""
    lots = [lot for lot in (movement.from_lot, movement.to_lot) if lot]
    vessels = [one for one in (movement.from_vessel, movement.to_vessel) if one]
    return sentence(
        leg_of(movement),
        units={lot.code: lot.unit for lot in lots},
        titles={vessel.code: title_of(vessel) for vessel in vessels},
    )


RELATED = ("from_lot", "to_lot", "from_vessel__sheet", "to_vessel__sheet")


def of_entry(entry: Entry) -> list[Sentence]:
    """The movements of *entry* in their order, in one query."""
    rows: Iterable[Movement] = entry.movements.order_by("leg").select_related(*RELATED)
    return [of_movement(row) for row in rows]
