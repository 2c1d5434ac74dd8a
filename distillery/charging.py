"""Before a still is charged: it must be empty, and a strong charge is asked about."""

from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Vessel
from ledger.plan import Question

STRONG = 80  # proof, 40 % ABV: a charge above it is asked about (trade safety practice)


def refuse_standing(look: Look, still: Vessel) -> None:
    """Raise BadFact when *still* holds a run that is not closed."""
    standing = look(still.code)
    if standing:
        raise BadFact(
            f"{still.code} still holds {standing[0].lot.code} by the book. Close that run first.",
            field="still",
        )


def strong_charge(wine: int, proof: int) -> tuple[Question, ...]:
    """A question when *proof* in *wine* (hundredths of a gallon) is above 40 % ABV."""
    if proof * 100 <= STRONG * wine:
        return ()
    percent = f"{proof * 50 / wine:.1f}" if wine else "100"
    text = (
        f"This charge is about {percent} % ABV; above 40 % its vapour lights more easily. "
        "Does the still's own procedure allow it, and are the heaters covered?"
    )
    return (Question("strong-charge", text),)
