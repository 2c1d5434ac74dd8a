"""A physical count against the book: what each row found, and which counts were taken."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from json import loads
from typing import Any

from distillery.bottled import carried, in_store, labelled
from distillery.plans import gallons
from ledger import units
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Entry, Premises
from ledger.quantities import amount_from_book, amount_to_book, to_decimal

COUNT = "count"
QUARTER, BOTTLED, OTHER = "quarter", "bottled", "other"
BULK = ("production", "redistil", "storage", "processing")
BOTTLES = ("finished", "taxpaid")
UNIT_KINDS = {"lb": "weight", "g": "small_weight", "gal": "volume", "each": "count"}
SATURDAY = 5
FAR = timedelta(days=31)  # a count stands for a day at most this far from when it was taken
Three = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Counted:
    """One row of a count: the holding by the book, and (amount, wine, proof gallons) found."""

    held: Held
    found: Three

    @property
    def book(self) -> Three:
        """What the book had."""
        return self.held.amount, self.held.wine_gallons, self.held.proof_gallons

    @property
    def difference(self) -> Three:
        """Found less book."""
        amount, wine, proof = (
            found - had for found, had in zip(self.found, self.book, strict=True)
        )
        return amount, wine, proof

    def told(self) -> str:
        """``S-1, lot S-4: book 8.30 PG, counted 8.10 PG``."""
        had, found = (figure(self.held, three) for three in (self.book, self.found))
        return f"{self.held.vessel.code}, lot {self.held.lot.code}: book {had}, counted {found}."


def figure(held: Held, three: Three) -> str:
    """The figure that matters for a holding: bottles, proof gallons, gallons or pounds."""
    if held.account in BOTTLES:
        return f"{three[0]:,} bottles, {to_decimal(three[2]):,f} PG"
    if held.account in BULK:
        return f"{to_decimal(three[1]):,f} gal, {to_decimal(three[2]):,f} PG"
    if held.account == "fermenting":
        return f"{to_decimal(three[1]):,f} gal"
    return f"{amount_from_book(three[0], held.lot.unit):,f} {held.lot.unit}"


def compare(rows: Iterable[dict[str, Any]], look: Look) -> list[Counted]:
    """Each cleaned row of a count against the book at ``look.at``; a holding comes once."""
    counted: dict[tuple[str, str, str], Counted] = {}
    for row in rows:
        one = compared(row, look)
        key = one.held.account, one.held.lot.code, one.held.vessel.code
        if key in counted:
            raise BadFact(f"{key[2]}, lot {key[1]} is counted twice.", field="rows")
        counted[key] = one
    return list(counted.values())


def compared(row: dict[str, Any], look: Look) -> Counted:
    """One row against the book. Raises BadFact when the row's figure does not fit the holding.

    A row counted on an earlier visit is compared with the book of that moment; what moved since
    is carried on to ``look.at``.
    """
    at = row.get("counted_at")
    if at is None or at >= look.at:
        return _found(row, look)
    then = _found(row, Look(look.premises, at, without=look.without))
    try:
        now = held_of({**row, "lot": then.held.lot}, look)
    except BadFact:
        now = None
    if now is None or now.account != then.held.account:
        raise _moved_on(then, at)
    return Counted(now, _carried_on(then, now, at))


def _carried_on(then: Counted, now: Held, at: datetime) -> Three:
    has = (now.amount, now.wine_gallons, now.proof_gallons)
    amount, wine, proof = (had + more for had, more in zip(has, then.difference, strict=True))
    if min(amount, wine, proof) < 0:
        raise _moved_on(then, at)
    return amount, wine, proof


def _moved_on(then: Counted, at: datetime) -> BadFact:
    code, lot = then.held.vessel.code, then.held.lot.code
    text = f"{code}, lot {lot} has moved on since it was counted, {at:%d %b %H:%M}. Count it again."
    return BadFact(text, field="rows")


def _found(row: dict[str, Any], look: Look) -> Counted:
    """One row against the book at ``look.at``."""
    held = held_of(row, look)
    book = (held.amount, held.wine_gallons, held.proof_gallons)
    if row["as_book"]:
        return Counted(held, book)
    if row["empty"]:
        return Counted(held, (0, 0, 0))
    if held.account in BOTTLES:
        return Counted(held, found_bottles(row, held))
    if held.account in BULK:
        if not row["gauge"]:
            raise _unfit(held, "a gauge")
        return Counted(held, (held.amount, *gallons(row["gauge"])))
    return Counted(held, found_amount(row, held, book))


def held_of(row: dict[str, Any], look: Look) -> Held:
    """The holding a row is about. Raises BadFact when the book has none or several there."""
    vessel, lot = row["vessel"], row["lot"]
    if lot and lot.stage == "bottled":
        accounts = [held.account for held in look(vessel.code) if held.lot.code == lot.code]
        return in_store(look, lot, vessel, account=accounts[0] if accounts else "finished")
    found = [held for held in look(vessel.code) if not lot or held.lot.code == lot.code]
    if len(found) == 1:
        return found[0]
    if not found:
        raise BadFact(
            f"The book has nothing in {vessel.code} at that moment. Record how it came there.",
            field="rows",
        )
    lots = ", ".join(held.lot.code for held in found)
    raise BadFact(f"{vessel.code} holds several lots ({lots}); name the lot.", field="rows")


def _unfit(held: Held, wanted: str) -> BadFact:
    text = f"{held.vessel.code}, lot {held.lot.code} is counted by {wanted}."
    return BadFact(text, field="rows")


def found_bottles(row: dict[str, Any], held: Held) -> Three:
    """The bottles found; fewer are worth their share of the holding, more what the label says."""
    if row["bottles"] is None:
        raise _unfit(held, "bottles")
    bottles = int(row["bottles"])
    if bottles > held.amount:
        wine, proof = labelled(held.lot, bottles - held.amount)
        return bottles, held.wine_gallons + wine, held.proof_gallons + proof
    wine, proof = carried(held, held.amount - bottles) if held.amount else (0, 0)
    return bottles, held.wine_gallons - wine, held.proof_gallons - proof


def found_amount(row: dict[str, Any], held: Held, book: Three) -> Three:
    """Pounds, grams or gallons found of a material, or gallons of a wash."""
    if not row["quantity"]:
        raise _unfit(held, "a quantity, like 1,900 lb")
    kind = "volume" if held.account == "fermenting" else UNIT_KINDS.get(held.lot.unit, "count")
    try:
        number = units.parse(row["quantity"], kind)
    except units.UnitError as error:
        raise BadFact(f"{held.vessel.code}: {error}", field="rows") from error
    if held.account == "fermenting":
        return book[0], amount_to_book(number, "gal"), book[2]
    amount = amount_to_book(number, held.lot.unit)
    if not (book[2] and held.amount):
        return amount, book[1], book[2]
    # A flavoring carries alcohol: less or more of it, as strong as the book has it.
    wine, proof = (half_up(value * amount, held.amount) for value in book[1:])
    return amount, wine, proof


def half_up(value: int, by: int) -> int:
    """The quotient of whole numbers above zero, rounded half up."""
    return (2 * value + by) // (2 * by)


def as_of(entry: Entry, form: dict[str, Any]) -> date:
    """The day a count stands for: the one it names, else the day it was taken."""
    if form.get("as_of"):
        return date.fromisoformat(form["as_of"])
    return entry.happened_at.astimezone(entry.premises.zone).date()


def rolled_to(one: Counted, look: Look, day: date) -> Three:
    """What was found, adjusted to the end of *day* by what the book moved since (27 CFR 19.372).

    *look* is the look the count was compared with. A lot that came later stands for nothing then.
    """
    end = datetime.combine(day + timedelta(days=1), time(), look.premises.zone)
    then = Look(look.premises, end - timedelta(microseconds=1), without=look.without)
    held = one.held
    same = [row for row in then(held.vessel.code) if row.lot.code == held.lot.code]
    had = [row for row in same if row.account == held.account]
    book = (had[0].amount, had[0].wine_gallons, had[0].proof_gallons) if had else (0, 0, 0)
    amount, wine, proof = (was + more for was, more in zip(book, one.difference, strict=True))
    return amount, wine, proof


def weekends_between(first: date, last: date) -> int:
    """How many weekends have a day from *first* to *last*, whichever comes first."""
    first, last = min(first, last), max(first, last)
    days = (first + timedelta(days=number) for number in range((last - first).days + 1))
    return len({day.isocalendar()[:2] for day in days if day.weekday() >= SATURDAY})


def last_count(premises: Premises, up_to_date: date, kind: str = "") -> Entry | None:
    """The count that stands for the latest day not after *up_to_date*; None when there is none.

    *kind* is QUARTER (27 CFR 19.312, 19.333, 19.371), BOTTLED (19.372) or OTHER; "" takes any.
    What it found: distillery.operations.count.counted_in.
    """
    rows = Entry.objects.filter(premises=premises, operation=COUNT, reversed_by=None)
    best: tuple[date, int] | None = None
    found = None
    for entry in rows.order_by("-happened_at", "-number").iterator(chunk_size=50):
        entry.premises = premises  # read already; its zone is asked for
        form = loads(entry.form)
        if kind and form.get("kind") != kind:
            continue
        taken = entry.happened_at.astimezone(premises.zone).date()
        if best and taken < best[0] - FAR:
            break  # none taken earlier can stand for a later day
        day = as_of(entry, form)
        if day <= up_to_date and (best is None or (day, entry.number) > best):
            best, found = (day, entry.number), entry
    return found


def left_out(counted: Iterable[Counted], held: Iterable[Held]) -> list[str]:
    """Places of *held* that no row of the count is about, as ``S-2`` or ``STORE (K-3)``."""
    seen = {(one.held.account, one.held.lot.code, one.held.vessel.code) for one in counted}
    missing = [
        f"{one.vessel.code} ({one.lot.code})" if one.account in BOTTLES else one.vessel.code
        for one in held
        if (one.account, one.lot.code, one.vessel.code) not in seen
    ]
    return list(dict.fromkeys(missing))
