"""Pitch yeast into a wash (27 CFR 19.584(b): materials used, with the wash they went into)."""

from decimal import Decimal
from typing import Any

from distillery.forms import QuantityField, RecordForm, RowsField, VesselField
from distillery.material_draws import DrawPart, draw_legs, told
from distillery.operations.base import Fields, Operation
from distillery.plans import lot_like, move, one_of
from ledger.plan import Leg, NewLot, Place, Plan, Question

LIKELY_F = (Decimal(60), Decimal(95))  # yeast sheets say 70 to 88 F (common practice, no source)


class PitchForm(RecordForm):
    """The yeast, and how warm the wash was."""

    vessel = VesselField("fermenter", label="Fermenter")
    yeasts = RowsField(DrawPart, label="Yeast and nutrients")
    temperature = QuantityField("temperature", required=False, label="Wash temperature")


def warmth_question(temperature_f: Decimal | None) -> tuple[Question, ...]:
    """A question when a wash is pitched much colder or warmer than yeast likes."""
    if temperature_f is None or LIKELY_F[0] <= temperature_f <= LIKELY_F[1]:
        return ()
    text = f"Yeast is usually pitched at 70 to 88 F; this says {temperature_f:.1f} F. Keep it?"
    return (Question("odd-temperature", text),)


class Pitch(Operation):
    """Grams leave the shelf; the yeast's lot becomes a parent of the wash."""

    slug = "pitch"
    title = "Pitch yeast"
    group = "Materials and mash"
    form = PitchForm
    hazards = ("co2", "confined_space", "cooling")
    kinds = ("fermenter",)
    accounts = ("fermenting",)
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """The yeast goes into the wash that stands in the fermenter.

        A lot comes only from older lots: yeast that came after the mash makes it a new lot.
        """
        vessel, yeasts = fields["vessel"], fields["yeasts"]
        held = one_of(look.in_account(vessel.code, "fermenting"), vessel.code, field="vessel")
        wash = held.lot.code
        lots: tuple[NewLot, ...] = ()
        moved: tuple[Leg, ...] = ()
        if any(row["lot"].pk > held.lot.pk for row in yeasts):
            wash = "W-{n}"
            lots = (lot_like(held.lot, wash),)
            moved = (move(held, Place("fermenting", wash, vessel.code), "move"),)
        legs = draw_legs(look, yeasts, into=wash, purpose="mash", field="yeasts")
        names = ", ".join(told(row["lot"], row["amount"]) for row in yeasts)
        return Plan(
            (*legs, *moved), lots, lines=(f"{names} into {held.lot.code} in {vessel.code}.",),
            questions=warmth_question(fields["temperature"]),
        )  # fmt: skip
