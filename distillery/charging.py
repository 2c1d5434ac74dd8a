"""Before a still is charged: it must be empty, and a strong charge is asked about."""

from collections.abc import Sequence
from typing import Any

from distillery.botanicals import Bill, bill
from distillery.forms import CodeField, RecordForm, RowsField, VesselField
from distillery.kinds import distilled_at_field, type_field
from distillery.material_draws import DrawPart, draw_legs
from distillery.plans import place
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Vessel
from ledger.plan import Leg, Place, Question


class RunForm(RecordForm):
    """What every charge tells: the still, what goes into the basket, and what is to come of it."""

    still = VesselField("still", label="Still")
    botanicals = RowsField(DrawPart, required=False, label="Botanicals, beside those in the basket")
    type_code = type_field()
    distilled_at = distilled_at_field()
    lot = CodeField(label="Our run code, empty for the next number")


STRONG = 80  # proof, 40 % ABV: a charge above it is asked about (trade safety practice)


def refuse_standing(look: Look, still: Vessel) -> None:
    """Raise BadFact when *still* holds a run that is not closed."""
    standing = [held for held in look(still.code) if held.account != "materials"]
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
        f"This charge is about {percent} % ABV; above 40 % its vapor lights more easily. "
        "Does the still's own procedure allow it, and are the heaters covered? Write why in the "
        "note."
    )
    return (Question("strong-charge", text),)


def basket_in(look: Look, still: Vessel) -> list[Held]:
    """What lies in the basket of *still*, weighed in before it was charged."""
    return look.in_account(still.code, "materials")


def botanicals_of(
    look: Look, rows: Sequence[dict[str, Any]], *, still: Vessel, run: str, proof: int | None
) -> tuple[tuple[Leg, ...], Bill]:
    """What *rows* and the basket give to lot *run*, and its bill on a base of *proof*.

    ``proof`` is in hundredths of a proof gallon, None where the base was not gauged.
    """
    loaded = basket_in(look, still)
    legs = (
        *draw_legs(look, rows, into=run, purpose="basket", field="botanicals"),
        *(Leg(place(held), Place("mashed", run), "basket", held.amount) for held in loaded),
    )
    used = [(row["lot"], row["amount"]) for row in rows]
    return legs, bill([*used, *((held.lot, held.amount) for held in loaded)], proof)
