"""A part taken out of a receiver: gauged before and after each removal (27 CFR 19.289(a))."""

from typing import Any

from distillery.plans import gallons, pg, slip
from ledger.looking import Held
from ledger.plan import Question, Slip

MUCH_LESS = 20  # a gauge less than the book by more than a twentieth is asked about
Fields = dict[str, Any]


def rest_of(fields: Fields, held: Held, *, wine: int, proof: int) -> tuple[int, int]:
    """(wine, proof) hundredths that stay in *held* once *wine* and *proof* were taken.

    By the gauge after the removal, else by the one before it, else by the book; nothing where
    all was taken.
    """
    if not fields["rest_stays"]:
        return 0, 0
    if fields["after"]:
        return gallons(fields["after"])
    stood = held.wine_gallons, held.proof_gallons
    if fields["before"]:
        stood = gallons(fields["before"])
    return stood[0] - wine, stood[1] - proof


def rest_slips(fields: Fields) -> list[Slip]:
    """The gauges before and after, as far as they were made."""
    titles = {"before": "Before the removal", "after": "After the removal"}
    return [slip(fields[name], title) for name, title in titles.items() if fields[name]]


def rest_question(fields: Fields) -> tuple[Question, ...]:
    """Asks when a part was taken and the vessel was not gauged before and after it."""
    missing = [name for name in ("before", "after") if not fields[name]]
    if not fields["rest_stays"] or not missing:
        return ()
    text = (
        "A receiver is gauged before and after each removal (27 CFR 19.289(a)); no gauge "
        f"{' or '.join(missing)} stands here. Keep the rest by the book?"
    )
    return (Question("rest-not-gauged", text),)


def unlike_question(held: Held, proof: int) -> tuple[Question, ...]:
    """A question when a whole receiver is gauged well away from what the book has in it."""
    more = proof - held.proof_gallons
    if more > max(10, held.proof_gallons // 200):
        text = f"The gauge finds {pg(more)} more than the book. Book it as a gain?"
        return (Question("gauge-gain", text),)
    if -more * MUCH_LESS > held.proof_gallons:
        text = (
            f"The book has {pg(held.proof_gallons)} in {held.vessel.code}, the gauge only "
            f"{pg(proof)}. Was all of it taken, and the rest lost?"
        )
        return (Question("gauge-loss", text),)
    return ()
