"""Charge a still with spirits of processing (27 CFR 19.348, 19.602)."""

from dataclasses import replace
from typing import Any

from distillery.ages import Age, in_no_wood
from distillery.charging import RunForm, botanicals_of, refuse_standing, strong_charge
from distillery.drawing import Draw, draw
from distillery.forms import (
    QuantityField,
    RowsField,
    TextField,
)
from distillery.formulas import listed_question
from distillery.kinds import family_field
from distillery.operations.base import Fields, Operation
from distillery.operations.blend import BlendPart
from distillery.packages import day_of
from distillery.plans import one_of, pg, room_question, wg
from distillery.pouring import facts_of, mingled, refuse_wine
from ledger.errors import BadFact
from ledger.plan import Leg, NewLot, Place, Plan, Question
from ledger.quantities import to_hundredths


class RedistilChargeForm(RunForm):
    """What went into the still, with which botanicals, under which formula."""

    field_order = (
        "at", "note", "still", "sources", "water", "botanicals", "formula", "family", "type_code",
        "distilled_at", "lot",
    )  # fmt: skip
    sources = RowsField(BlendPart, label="Charged from")
    water = QuantityField("volume", required=False, above=1, label="Water added")
    formula = TextField(max_length=40, label="Formula number")
    family = family_field(required=False, label="Meant to make")


class RedistilCharge(Operation):
    """A run inside processing: nothing leaves the account, in and out are told as a memo."""

    slug = "still-charge-processing"
    title = "Charge a still in processing"
    group = "Process and bottle"
    form = RedistilChargeForm
    hazards = ("start_run",)
    kinds = ("still",)
    accounts = ("", "materials")
    vessel_field = "still"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """The run lot in the still, with what was charged as its parents."""
        still = fields["still"]
        refuse_standing(look, still)
        draws = _draws(fields, look)
        lot = _run(fields, draws, look)
        to = Place("processing", lot.code, still.code)
        legs = [one.leg(to, "redistil_in") for one in draws]
        if fields["water"]:
            water = to_hundredths(fields["water"])
            legs.append(Leg(Place("water", lot.code), to, "reduce", 0, water))
        wine = sum(leg.wine_gallons for leg in legs)
        proof = sum(leg.proof_gallons for leg in legs)
        basket, used = botanicals_of(
            look, fields["botanicals"], still=still, run=lot.code, proof=proof
        )
        lines = (f"{wg(wine)}, {pg(proof)} into {still.code}.", *used.told())
        return Plan(
            (*legs, *basket), (lot,), document="RD-{n}", slips=used.slip(), lines=lines,
            questions=(
                *strong_charge(wine, proof), *_formula(fields),
                *listed_question(look.premises, fields["formula"]),
                *room_question(still, wine, look),
            ),
        )  # fmt: skip


def _draws(fields: Fields, look: Any) -> list[Draw]:
    codes = [row["vessel"].code for row in fields["sources"]]
    if len(set(codes)) != len(codes):
        raise BadFact("A vessel stands here twice. Give each one row.", field="sources")
    look(*codes)
    draws = []
    for row in fields["sources"]:
        code = row["vessel"].code
        held = one_of(look.in_account(code, "processing"), code, field="sources")
        volume = row["volume"]
        draws.append(draw(held, volume_gal=volume, is_whole=volume is None, field="sources"))
    return draws


def _run(fields: Fields, draws: list[Draw], look: Any) -> NewLot:
    """The run counts as the kind most of its charge is; what it makes is told when it comes."""
    refuse_wine([facts_of(one.held.lot) for one in draws], field="sources")
    most = max(draws, key=lambda one: one.proof).held.lot
    lots = {one.held.lot.code: one.held.lot for one in draws}
    what = (fields["type_code"] or fields["family"] or most.name).lower()
    run = mingled(
        list(lots.values()), fields["lot"] or "R-{n}", account="processing", stage="run",
        class_code=most.designation.class_code, name=f"Redistillation, {what}"[:80],
        day=day_of(look), field="sources", formula=fields["formula"],
    )  # fmt: skip
    # Age is time in oak after distillation (27 CFR 5.1): it begins anew.
    return replace(run, redistilled=True, distilled_at=None, **in_no_wood(Age()))


def _formula(fields: Fields) -> tuple[Question, ...]:
    """Gin or vodka by redistillation needs a formula before (27 CFR 19.348(b))."""
    if fields["formula"]:
        return ()
    text = (
        "Redistilling into gin or vodka needs an approved formula before it is made (27 CFR "
        "19.348). Is none needed here?"
    )
    return (Question("no-formula", text),)
