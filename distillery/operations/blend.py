"""Blend batches in a processing tank (27 CFR 19.598, 19.283)."""

from typing import Any

from distillery.batch_form import (
    BatchForm,
    batch_facts,
    lines_of_formula,
    notes_of,
    questions_of_formula,
)
from distillery.batch_slip import batch_slip, parts_of, share_questions
from distillery.drawing import Draw, draw, more_question
from distillery.forms import GaugeField, Part, QuantityField, RowsField, VesselField
from distillery.operations.base import Fields, Operation
from distillery.plans import one_of, pg, poured_to, room_question, slip, wg
from distillery.pouring import heel_in, pour
from ledger.errors import BadFact
from ledger.plan import Plan

TANKS = ("tank", "tote", "bottling_tank")


class BlendPart(Part):
    """One vessel that goes into the blend: a volume, or all of it when left empty."""

    vessel = VesselField(*TANKS, "receiver", "barrel", label="From")
    volume = QuantityField(
        "volume", required=False, above=1, label="Gallons at 60 °F, empty for all"
    )


class BlendForm(BatchForm):
    """What goes together, where, and the gauge of the blend."""

    field_order = ("parts", "into", "gauge")
    parts = RowsField(BlendPart, label="Poured in")
    into = VesselField(*TANKS, label="Into; what stands there is part of the blend")
    gauge = GaugeField(required=False, label="Gauge of the blend")


class Blend(Operation):
    """Batches of processing poured together open a new batch with all of them as parents."""

    slug = "blend"
    title = "Blend"
    group = "Process and bottle"
    form = BlendForm
    hazards = ("ethanol_vapour",)
    kinds = TANKS
    accounts = ("processing",)
    vessel_field = "into"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """A leg a part, the heel with it, and what the gauge finds less or more."""
        draws = _draws(fields, look)
        into = pour(
            look, vessel=fields["into"], account="processing", field="into",
            sources=[one.held.lot for one in draws], code=fields["lot"] or "B-{n}",
            stage="batch", is_new=True, **batch_facts(fields),
        )  # fmt: skip
        legs = (*into.legs, *(one.leg(into.place, "blend") for one in draws))
        (batch,) = into.lots
        parts = parts_of(legs, batch.code, look)
        told, asked = share_questions(parts, batch)
        wine = sum(leg.wine_gallons for leg in legs)
        proof = sum(leg.proof_gallons for leg in legs)
        found, more = poured_to(
            fields["gauge"], into.place, wine=wine, proof=proof, purpose="mingle"
        )
        gauged = (slip(fields["gauge"], "Gauge of the blend"),) if fields["gauge"] else ()
        account = batch_slip(look, (*legs, *found), batch.code, notes_of(fields))
        return Plan(
            (*legs, *found), into.lots, document="DB-{n}", slips=(*gauged, account),
            lines=(
                f"Together {wg(wine)}, {pg(proof)} by the book.", *told,
                *lines_of_formula(fields, batch, look),
            ),
            questions=(
                *more_question({into.place.vessel: more}),
                *room_question(fields["into"], wine, look),
                *questions_of_formula(fields, [lot for lot, _ in parts], batch, look), *asked,
            ),
        )  # fmt: skip


def _draws(fields: Fields, look: Any) -> list[Draw]:
    codes = [row["vessel"].code for row in fields["parts"]]
    into = fields["into"]
    if into.code in codes or len(set(codes)) != len(codes):
        raise BadFact(
            "Name each vessel once; what stands in the blending tank is part of the blend anyway.",
            field="parts",
        )
    if len(codes) == 1 and heel_in(look, into, "processing", field="into") is None:
        raise BadFact(
            f"{into.code} is empty and one vessel goes in: record a move instead.", field="parts"
        )
    look(*codes)
    return [
        draw(
            one_of(look.in_account(row["vessel"].code, "processing"), row["vessel"].code,
                   field="parts"),
            volume_gal=row["volume"], is_whole=row["volume"] is None, field="parts",
        )
        for row in fields["parts"]
    ]  # fmt: skip
