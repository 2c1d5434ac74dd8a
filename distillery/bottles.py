"""What bottles are worth: a share of their holding, so that the parts add up to the whole."""

from ledger.errors import BadFact
from ledger.looking import Held


def _share(whole: int, part: int, of: int) -> int:
    """*whole* x *part* / *of*, half up, in whole numbers."""
    return (2 * whole * part + of) // (2 * of)


def bottles_worth(held: Held, bottles: int) -> tuple[int, int]:
    """(wine gallons, proof gallons) in hundredths that *bottles* of *held* carry away.

    What the holding has less what the remaining bottles are worth by proportion: the last
    bottle takes exactly what is left, so a thousand singles are the thousand. More bottles than
    the book has are worth more than the holding; the door then asks about the shortage.
    Raises BadFact when the holding counts no bottles.
    """
    if held.amount <= 0:
        raise BadFact(f"{held.vessel.code} has no bottles of lot {held.lot.code} at that moment.")
    left = held.amount - bottles
    wine = held.wine_gallons - _share(held.wine_gallons, left, held.amount)
    proof = held.proof_gallons - _share(held.proof_gallons, left, held.amount)
    return wine, proof
