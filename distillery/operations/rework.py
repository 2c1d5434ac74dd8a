"""Dump bottled goods back to bulk for further processing (27 CFR 19.601(b), 19.604, 19.598)."""

from typing import Any

from distillery.batch_form import (
    BatchForm,
    batch_facts,
    lines_of_formula,
    notes_of,
    questions_of_formula,
)
from distillery.batch_slip import batch_slip, parts_of, share_questions
from distillery.bottled import carried
from distillery.bottled_rows import BottlesPart, bottles_by_place, told_count
from distillery.bottling import runs_in
from distillery.drawing import more_question
from distillery.forms import GaugeField, RowsField, VesselField
from distillery.operations.base import Fields, Operation
from distillery.operations.blend import TANKS
from distillery.plans import pg, place, poured_to, room_question, slip, wg
from distillery.pouring import Poured, pour
from ledger.looking import Held
from ledger.models import Vessel
from ledger.plan import Leg, Place, Plan, Question

BY_LABEL = "Taken by the label: full, and nobody has tampered with them (27 CFR 19.286)."
AGAIN = "Bottling it again is a new bottling record with its own tank gauge (27 CFR 19.604)."


class ReworkForm(BatchForm):
    """Which bottles, into which tank, and the gauge of what came of them."""

    field_order = ("bottles", "into", "gauge")

    bottles = RowsField(BottlesPart, label="Dumped, partial cases bottle by bottle")
    into = VesselField(*TANKS, label="Into; what stands there is part of the batch")
    gauge = GaugeField(required=False, label="Gauge of the tank afterwards")


class Rework(Operation):
    """Out of finished goods and into a new batch: TTB F 5110.28 lines 40 and 6 in one movement."""

    slug = "rework"
    title = "Dump bottles for rework"
    group = "Process and bottle"
    form = ReworkForm
    hazards = ("glass", "ethanol_vapour", "lifting")
    kinds = ("store",)
    accounts = ("finished",)
    vessel_field = "bottles-store"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """What the bottles carry into the tank, their glass out, and the gauge's difference."""
        dumped = bottles_by_place(fields["bottles"], look)
        into = _into(fields, dumped, look)
        (batch,) = into.lots
        legs: list[Leg] = [*into.legs]
        for held, bottles in dumped:
            wine, proof = carried(held, bottles)
            legs.append(Leg(place(held), into.place, "rework", 0, wine, proof))
            legs.append(Leg(place(held), Place("glass", held.lot.code), "rework", bottles))
        wine = sum(leg.wine_gallons for leg in legs)
        found, more = poured_to(
            fields["gauge"], into.place, wine=wine, proof=_proof(legs), purpose="rework"
        )
        parts = parts_of(legs, batch.code, look)
        told, asked = share_questions(parts, batch)
        gauged = (slip(fields["gauge"], "Gauge after"),) if fields["gauge"] else ()
        account = batch_slip(look, (*legs, *found), batch.code, notes_of(fields))
        return Plan(
            (*legs, *found), into.lots, document="DB-{n}", slips=(*gauged, account),
            lines=(
                *_told(dumped), f"Together {wg(wine)}, {pg(_proof(legs))} in {into.place.vessel}.",
                *(() if gauged else (BY_LABEL,)), AGAIN, *told,
                *lines_of_formula(fields, batch, look),
            ),
            questions=(
                *more_question({into.place.vessel: more}), *_open_question(fields["into"]),
                *room_question(fields["into"], wine, look),
                *questions_of_formula(fields, [lot for lot, _ in parts], batch, look), *asked,
            ),
        )  # fmt: skip


def _into(fields: Fields, dumped: list[tuple[Held, int]], look: Any) -> Poured:
    return pour(
        look, vessel=fields["into"], account="processing", field="into",
        sources=[held.lot for held, _ in dumped], code=fields["lot"] or "B-{n}", stage="batch",
        is_new=True, unit="pg", **batch_facts(fields),
    )  # fmt: skip


def _proof(legs: list[Leg]) -> int:
    return sum(leg.proof_gallons for leg in legs)


def _told(dumped: list[tuple[Held, int]]) -> tuple[str, ...]:
    return tuple(
        f"{told_count(held.lot, bottles)} of {held.lot.name}, lot {held.lot.code}, dumped."
        for held, bottles in dumped
    )


def _open_question(tank: Vessel) -> tuple[Question, ...]:
    """Asks when the tank is in an open bottling: its own bottles are tipped back instead."""
    run = next((run for run in runs_in(tank) if run.closed_by is None), None)
    if run is None:
        return ()
    text = (
        f"Bottling {run.serial} is open in {tank.code} and cannot go on with a new batch. Its own "
        "bottles go back by Tip back bottles. Dump these in and open a new bottling?"
    )
    return (Question("bottling-open", text),)
