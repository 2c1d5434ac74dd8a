"""Add flavorings, sugar, wine or plants to a batch (27 CFR 19.342(e), 19.348, 19.598)."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.batch_form import (
    BatchForm,
    batch_facts,
    lines_of_formula,
    notes_of,
    questions_of_formula,
)
from distillery.batch_slip import batch_slip, parts_of
from distillery.drawing import more_question
from distillery.forms import GaugeField, QuantityField, RowsField, VesselField, YesField
from distillery.ingredients import (
    IngredientPart,
    WinePart,
    acts_of,
    grams_a_liter,
    made_with,
    material_legs,
    use_of,
    wine_legs,
)
from distillery.material_draws import told as told_material
from distillery.operations.base import Fields, Operation
from distillery.operations.blend import TANKS
from distillery.plans import gallons, pg, poured_to, room_question, slip, wg
from distillery.pouring import heel_in, pour
from distillery.standards import name_questions
from ledger.classes import CLASSES
from ledger.errors import BadFact
from ledger.plan import Leg, NewLot, Place, Plan, Question
from ledger.quantities import to_hundredths


class AddIngredientsForm(BatchForm):
    """What went into the batch, and its gauge afterwards."""

    field_order = ("vessel", "materials", "wines", "water", "carbonated", "gauge")

    vessel = VesselField(*TANKS, label="Tank of the batch")
    materials = RowsField(IngredientPart, required=False, label="Materials")
    wines = RowsField(WinePart, required=False, label="Wine")
    water = QuantityField("volume", required=False, above=1, label="Water added")
    carbonated = YesField(label="Carbonated")
    gauge = GaugeField(required=False, label="Gauge after mixing")

    def clean(self) -> dict[str, Any]:
        """Something went in."""
        data = super().clean() or {}
        given = [name for name in ("materials", "wines", "carbonated") if data.get(name)]
        if not self.errors and not given:
            raise ValidationError({"materials": "Give what went in: materials, wine, or gas."})
        return data


class AddIngredients(Operation):
    """A batch with something in it that is not spirits is a new batch, with all as parents."""

    slug = "add-ingredients"
    title = "Add ingredients to a batch"
    group = "Process and bottle"
    form = AddIngredientsForm
    hazards = ("ethanol_vapour", "lifting", "co2")
    kinds = TANKS
    accounts = ("processing",)
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """The batch and all that went in, then what the gauge finds less or more."""
        into = _into(fields, look)
        (batch,) = into.lots
        legs: tuple[Leg, ...] = (
            *into.legs,
            *material_legs(look, fields["materials"], into.place),
            *wine_legs(look, fields["wines"], into.place),
            *_water(fields, into.place),
        )
        wine, proof = _sum(legs, into.place)
        found, more = poured_to(
            fields["gauge"], into.place, wine=wine, proof=proof, purpose="mingle"
        )
        after = gallons(fields["gauge"])[0] if fields["gauge"] else wine
        gauged = (slip(fields["gauge"], "Gauge after mixing"),) if fields["gauge"] else ()
        account = batch_slip(look, (*legs, *found), batch.code, _notes(fields, after))
        return Plan(
            (*legs, *found), into.lots, document="DB-{n}", slips=(*gauged, account),
            lines=(
                f"Together {wg(wine)}, {pg(proof)} by the book.", *_told(fields),
                *lines_of_formula(fields, batch, look),
            ),
            questions=(
                *more_question({into.place.vessel: more}),
                *room_question(fields["vessel"], after, look),
                *_asked(fields, [lot for lot, _ in parts_of(legs, batch.code, look)], batch, look,
                        wine=after),
            ),
        )  # fmt: skip


def _into(fields: Fields, look: Any) -> Any:
    held = heel_in(look, fields["vessel"], "processing")
    if held is None:
        raise BadFact(
            f"{fields['vessel'].code} is empty by the book. Dump or blend spirits into it first.",
            field="vessel",
        )
    return pour(
        look, vessel=fields["vessel"], account="processing", sources=[held.lot], is_new=True,
        code=fields["lot"] or "B-{n}", stage="batch", **batch_facts(fields),
    )  # fmt: skip


def _water(fields: Fields, at: Place) -> tuple[Leg, ...]:
    if fields["water"] is None:
        return ()
    return (Leg(Place("water", at.lot), at, "reduce", 0, to_hundredths(fields["water"])),)


def _sum(legs: tuple[Leg, ...], at: Place) -> tuple[int, int]:
    rows = [leg for leg in legs if leg.to == at]
    return sum(leg.wine_gallons for leg in rows), sum(leg.proof_gallons for leg in rows)


def _notes(fields: Fields, wine: int) -> tuple[str, ...]:
    """The materials with their quantities, for the slip (27 CFR 19.598)."""
    rows = fields["materials"]
    notes = [f"{use_of(row)}: {told_material(row['lot'], row['amount'])}" for row in rows]
    notes += [
        f"Formula {row['lot'].formula} of {row['lot'].name}." for row in rows if row["lot"].formula
    ]
    for use in ("sugar", "acid"):
        found = grams_a_liter(rows, use, wine)
        if found is not None:
            notes.append(f"{use}: {found:.2f} g in a liter of the batch.")
    if fields["carbonated"]:
        notes.append("Carbonated.")
    return (*notes, *notes_of(fields))


def _told(fields: Fields) -> tuple[str, ...]:
    lines = []
    if fields["gauge"] is None:
        lines.append("Spirits are gauged when mixed in a product (27 CFR 19.283): gauge it.")
    if any(use_of(row) in ("sugar", "flavoring", "coloring") for row in fields["materials"]):
        lines.append("What is dissolved hides proof: find the obscuration (27 CFR 30.32).")
    return tuple(lines)


def _asked(
    fields: Fields, parts: list[NewLot], batch: NewLot, look: Any, *, wine: int
) -> tuple[Question, ...]:
    family = CLASSES[batch.class_code].family if batch.class_code else ""
    rows, has_wine = fields["materials"], bool(fields["wines"])
    acts = acts_of(
        [use_of(row) for row in rows], wine=has_wine, carbonated=fields["carbonated"],
        family=family,
    )  # fmt: skip
    made = made_with(rows, wine=wine, has_wine=has_wine)
    return (
        *questions_of_formula(fields, parts, batch, look, acts=acts),
        *name_questions(family, batch.type_code, made),
    )
