"""Dump barrels or storage tanks into processing (27 CFR 19.598, 19.283, 19.462(a))."""

from typing import Any

from distillery.ages import counted_on
from distillery.batch_form import (
    BatchForm,
    batch_facts,
    lines_of_formula,
    notes_of,
    questions_of_formula,
)
from distillery.batch_slip import batch_slip, parts_of, share_questions
from distillery.drawing import Draw, gain_question
from distillery.dumping import (
    DumpPart,
    alike_field,
    draws_of,
    helds_of,
    loss_line,
    with_alike,
)
from distillery.forms import GaugeField, VesselField
from distillery.gauged_rows import GaugedRowsField
from distillery.operations.base import Fields, Operation
from distillery.packages import day_of
from distillery.plans import pg, room_question, wg
from distillery.pouring import pour
from ledger.plan import NewLot, Place, Plan

WHY_GAUGED = "Spirits are gauged when they go to processing"


class DumpForm(BatchForm):
    """What is dumped, how it was gauged, and the tank it goes into."""

    field_order = ("vessels", "alike", "into", "gauge")
    vessels = GaugedRowsField(DumpPart, required=False, label="Dumped")
    alike = alike_field()
    into = VesselField("tank", "tote", "bottling_tank", label="Into")
    gauge = GaugeField(required=False, label="One gauge of all that was dumped")

    def clean(self) -> dict[str, Any]:
        """Barrels of the range are rows like the others."""
        data = super().clean() or {}
        return data if self.errors else with_alike(data, self.premises)


class Dump(Operation):
    """Out of storage at the gauge; what a barrel lost since its fill is booked with it."""

    slug = "dump"
    title = "Dump to processing"
    group = "Process and bottle"
    form = DumpForm
    hazards = ("lifting", "barrels", "ethanol_vapour")
    kinds = ("barrel", "tank", "tote")
    accounts = ("storage",)
    vessel_field = "vessels-vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """A leg a vessel, its loss or gain, and one new batch of everything in the tank."""
        helds = helds_of(fields["vessels"], look, "storage")
        draws, slips = draws_of(fields, helds, look, why=WHY_GAUGED)
        into = pour(
            look, vessel=fields["into"], account="processing", field="into",
            sources=[held.lot for held in helds], code=fields["lot"] or "B-{n}", stage="batch",
            is_new=True, **batch_facts(fields),
        )  # fmt: skip
        legs = [*into.legs]
        for one in draws:
            legs += [one.leg(into.place, "transfer"), *one.rest()]
        wine = sum(one.wine for one in draws)
        (batch,) = into.lots
        parts = parts_of(legs, batch.code, look)
        told, asked = share_questions(parts, batch)
        return Plan(
            tuple(legs), into.lots, document="DB-{n}",
            slips=(*slips, batch_slip(look, legs, batch.code, notes_of(fields))),
            lines=(
                *_told(draws, into.place), *_age(batch, look), *told,
                *lines_of_formula(fields, batch, look),
            ),
            questions=(
                *gain_question(draws),
                *room_question(fields["into"], wine + into.heel_wine, look),
                *questions_of_formula(fields, [lot for lot, _ in parts], batch, look), *asked,
            ),
        )  # fmt: skip


def _told(draws: list[Draw], to: Place) -> tuple[str, ...]:
    wine, proof = sum(one.wine for one in draws), sum(one.proof for one in draws)
    lines = [f"{wg(wine)}, {pg(proof)} dumped into {to.vessel}.", *loss_line(draws)]
    # A finishing cask must be filled from storage: after this there is no way back.
    lines.append("Processing gives no spirits back to storage here (27 CFR 19.351(c)).")
    return tuple(lines)


def _age(batch: NewLot, look: Any) -> tuple[str, ...]:
    age = counted_on(batch, day_of(look))
    return (f"Age of the youngest: {age} (27 CFR 19.328).",) if age else ()
