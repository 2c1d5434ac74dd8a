"""Taking an entry back, and correcting it by the difference alone.

A reversal repeats the legs of the entry it names, same direction, negative quantities, so that
it subtracts from the very line it had filled. Swapped legs would fill another line, or one
that 27 CFR 19.351(c) forbids.
"""

from dataclasses import replace

from ledger.errors import BadFact, NotReversible
from ledger.looking import Held, Look
from ledger.models import Entry, Movement, Premises
from ledger.plan import Leg, Place, Plan

Three = tuple[int, int, int]


def entry_numbered(premises: Premises, number: int) -> Entry:
    """The entry with *number*; NotReversible when there is none."""
    found = Entry.objects.filter(premises=premises, number=number)
    entry = found.select_related("reversed_by", "period").first()
    if entry is None:
        raise NotReversible(f"There is no entry {number} here.")
    return entry


def _code(row: object) -> str:
    return row.code if row is not None else ""  # type: ignore[attr-defined]


def leg_of(movement: Movement, *, sign: int = 1) -> Leg:
    """The leg that made *movement*, its quantities times *sign*."""
    return Leg(
        Place(movement.from_account, _code(movement.from_lot), _code(movement.from_vessel)),
        Place(movement.to_account, _code(movement.to_lot), _code(movement.to_vessel)),
        movement.purpose,
        sign * movement.amount,
        sign * movement.wine_gallons,
        sign * movement.proof_gallons,
        proof=movement.proof,
        cooperage=movement.cooperage,
        taxed=movement.taxed,
    )


def movements_of(entry: Entry) -> list[Movement]:
    """The movements of *entry* in their order, with lots and vessels."""
    rows = entry.movements.order_by("leg")
    return list(rows.select_related("from_lot", "from_vessel", "to_lot", "to_vessel"))


def check_reversible(entry: Entry) -> None:
    """Refuse an entry that is a reversal or was reversed before."""
    if entry.reverses_id:
        raise NotReversible(f"Entry {entry.number} is itself a reversal. Record the act anew.")
    # Asked anew: the entry may have been read before the lock, and another taken it back since.
    by = Entry.objects.filter(reverses=entry).first()
    if by:
        raise NotReversible(f"Entry {entry.number} was already taken back by entry {by.number}.")


def check_uncorrected(entry: Entry) -> None:
    """Refuse to take back an entry while a correction of it stands: its delta would stay."""
    correction = Entry.objects.filter(corrects=entry, reversed_by=None).first()
    if correction:
        raise NotReversible(
            f"Entry {entry.number} was corrected by entry {correction.number}. "
            "Take that back first."
        )


def reversal(entry: Entry, look: Look) -> Plan:
    """The plan that takes *entry* back."""
    del look  # the legs are those of the entry; the door checks what stands in the way
    check_reversible(entry)
    check_uncorrected(entry)
    legs = tuple(leg_of(movement, sign=-1) for movement in movements_of(entry))
    return Plan(legs=legs, lines=(f"Takes back entry {entry.number} ({entry.operation}).",))


def difference(
    entry: Entry,
    look: Look,
    *,
    leg: int,
    amount: int | None = None,
    wine_gallons: int | None = None,
    proof_gallons: int | None = None,
    stands_in: str = "",
    stands_lot: str = "",
) -> Plan:
    """The plan that posts only what *leg* of *entry* should have moved less what it did.

    While the thing still stands where the leg put it, the difference goes through the same flow,
    so that the same report line is mended. Where it has moved on, *stands_in* names the vessel
    that holds it now, and *stands_lot* the lot where it holds several: the difference is a gain
    or a loss there. Integers as in the book; None leaves a quantity as it was.
    """
    check_reversible(entry)
    movement = next((row for row in movements_of(entry) if row.leg == leg), None)
    if movement is None:
        raise BadFact(f"Entry {entry.number} has no movement {leg}.")
    was = _as_corrected(entry, movement)
    right = (amount, wine_gallons, proof_gallons)
    changes = [new - old if new is not None else 0 for old, new in zip(was, right, strict=True)]
    delta = (changes[0], changes[1], changes[2])
    if not any(delta):
        raise BadFact("That is what the entry already says. Give the right figure.")
    base = leg_of(movement)
    legs: tuple[Leg, ...] = (_with(base, delta),)
    if stands_in:
        legs = _where_it_stands(look, stands_in, delta, lot=stands_lot)
    return Plan(legs=legs, lines=(f"Corrects entry {entry.number}, movement {leg}.",))


def _as_corrected(entry: Entry, movement: Movement) -> Three:
    """What *movement* moved, with earlier corrections of its flow that still stand."""
    names = (
        "from_account", "from_lot", "from_vessel", "to_account", "to_lot", "to_vessel", "purpose"
    )  # fmt: skip
    same = {name: getattr(movement, name) for name in names}
    rows = Movement.objects.filter(entry__corrects=entry, entry__reversed_by=None, **same)
    total = [movement.amount, movement.wine_gallons, movement.proof_gallons]
    for row in rows:
        total[0] += row.amount
        total[1] += row.wine_gallons
        total[2] += row.proof_gallons
    return total[0], total[1], total[2]


def _with(leg: Leg, three: Three) -> Leg:
    amount, wine, proof = three
    return replace(leg, amount=amount, wine_gallons=wine, proof_gallons=proof, proof=None)


STANDING = ("production", "redistil", "storage", "processing", "finished")


def _standing(look: Look, vessel: str, lot: str) -> Held:
    """The holding in *vessel*, of *lot* when one is named. Raises BadFact for none or several."""
    if not lot:
        return look.one(vessel, *STANDING)
    found = [held for held in look.in_account(vessel, *STANDING) if held.lot.code == lot]
    if not found:
        raise BadFact(f"The book has nothing of lot {lot} in {vessel} at that moment.")
    return found[0]


def _where_it_stands(look: Look, vessel: str, delta: Three, *, lot: str) -> tuple[Leg, ...]:
    held = _standing(look, vessel, lot)
    place = Place(held.account, held.lot.code, vessel)
    purpose = "count" if held.account == "finished" else "regauge"
    gain = Leg(Place("gain", place.lot), place, purpose)
    loss = Leg(place, Place("loss", place.lot), purpose)
    up = (max(0, delta[0]), max(0, delta[1]), max(0, delta[2]))
    down = (max(0, -delta[0]), max(0, -delta[1]), max(0, -delta[2]))
    return tuple(_with(leg, three) for leg, three in ((gain, up), (loss, down)) if any(three))
