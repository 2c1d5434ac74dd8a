"""Weigh botanicals into a still's basket, before the charge or while the still stands stopped.

27 CFR 19.584(b): materials used; 19.585(a)(3) and 19.602: traced to the run they went into.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from distillery.botanicals import Bill, base_of, bill, spells_of, used_in
from distillery.charging import basket_in
from distillery.forms import QuantityField, RecordForm, RowsField, TextField, VesselField
from distillery.material_draws import DrawPart, draw_legs, told
from distillery.operations.base import Fields, Operation
from distillery.plans import lot_like, move, place
from ledger.looking import Held, Look
from ledger.models import Lot
from ledger.plan import Leg, NewLot, Place, Plan, Question


class BasketPart(DrawPart):
    """A botanical lot: how much of it, how it was prepared and where in the basket it lies."""

    prepared = TextField(max_length=120, label="Prepared and placed")


class LoadBasketForm(RecordForm):
    """Which still, and every lot weighed in."""

    still = VesselField("still", label="Still")
    botanicals = RowsField(BasketPart, label="Botanicals")
    weighed = QuantityField(
        "small_weight", required=False, above=1, label="Whole basket weighed, without its tare"
    )


class LoadBasket(Operation):
    """Into an empty still they wait as materials for the charge; into a run they go at once."""

    slug = "load-basket"
    title = "Load the basket"
    group = "Distil"
    form = LoadBasketForm
    hazards = ("basket", "still_pressure")
    kinds = ("still",)
    accounts = ("", "materials", "production", "processing")
    vessel_field = "still"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """One movement a lot."""
        still, rows = fields["still"], fields["botanicals"]
        run = next((held for held in look(still.code) if held.lot.stage == "run"), None)
        if run is None:
            return _waiting(fields, look)
        waiting = basket_in(look, still)
        now = [(row["lot"], row["amount"]) for row in rows]
        before = [(held.lot, held.amount) for held in waiting]
        lots, moved, code = _run_with(run, [lot for lot, _ in (*now, *before)])
        legs = (
            *draw_legs(look, rows, into=code, purpose="basket", field="botanicals"),
            *(Leg(place(held), Place("mashed", code), "basket", held.amount) for held in waiting),
        )
        runs = spells_of(run.lot)
        used = bill([*used_in(runs, look.at), *now, *before], base_of(runs, look.at))
        return Plan(
            (*moved, *legs), lots, slips=used.slip(), lines=used.told(),
            questions=_weight(fields, [row["lot"] for row in rows], bill(now, None)),
        )  # fmt: skip


def _waiting(fields: Fields, look: Look) -> Plan:
    """The lots stay themselves and lie in the still, which is charged later."""
    still, rows = fields["still"], fields["botanicals"]
    drawn = draw_legs(look, rows, into=still.code, purpose="move", field="botanicals")
    legs = tuple(replace(leg, to=Place("materials", leg.origin.lot, still.code)) for leg in drawn)
    lines = [f"{told(row['lot'], row['amount'])} into the basket of {still.code}." for row in rows]
    before = [(held.lot, held.amount) for held in basket_in(look, still)]
    whole = bill([*before, *((row["lot"], row["amount"]) for row in rows)], None)
    lines.append(f"In the basket {whole.grams:,f} g; the charge will take them along.")
    lots = [row["lot"] for row in rows]
    return Plan(legs, lines=tuple(lines), questions=_weight(fields, lots, whole))


def _run_with(
    run: Held, botanicals: Sequence[Lot]
) -> tuple[tuple[NewLot, ...], tuple[Leg, ...], str]:
    """The run the botanicals go into.

    A lot comes only from older lots: a botanical that came after the charge makes the run go on
    as a new lot.
    """
    if all(lot.pk < run.lot.pk for lot in botanicals):
        return (), (), run.lot.code
    to = Place(run.account, "R-{n}", run.vessel.code)
    return (lot_like(run.lot, "R-{n}"),), (move(run, to, "move"),), "R-{n}"


def _weight(fields: Fields, lots: Sequence[Any], weighed_in: Bill) -> tuple[Question, ...]:
    """Asks when the whole basket weighs other than its parts by more than a twentieth."""
    whole = fields["weighed"]
    if whole is None or any(lot.unit not in ("g", "lb") for lot in lots):
        return ()
    if abs(whole - weighed_in.grams) * 20 <= weighed_in.grams:
        return ()
    text = (
        f"The parts come to {weighed_in.grams:,f} g, the whole basket weighed {whole:,f} g. "
        "Is a botanical missing or typed wrong?"
    )
    return (Question("basket-weight", text),)
