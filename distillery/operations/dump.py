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
from distillery.drawing import BULK, Draw, allocate, draw, gain_question
from distillery.forms import GaugeField, VesselField, YesField
from distillery.gauged_rows import GaugedPart, GaugedRowsField, gauge_of
from distillery.operations.base import Fields, Operation
from distillery.packages import day_of, gauge_step
from distillery.plans import gallons, one_of, pg, room_question, slip, tenths, wg
from distillery.pouring import pour
from ledger.errors import BadFact
from ledger.looking import Held
from ledger.models import Vessel
from ledger.plan import NewLot, Place, Plan, Slip


class DumpPart(GaugedPart):
    """One vessel dumped: whole unless only a part was drawn; gauged here or all together."""

    field_order = ("vessel", "part")
    vessel = VesselField(*BULK, "barrel", label="Vessel")
    part = YesField(label="Only a part was drawn")


class DumpForm(BatchForm):
    """What is dumped, how it was gauged, and the tank it goes into."""

    field_order = ("vessels", "into", "gauge")
    vessels = GaugedRowsField(DumpPart, label="Dumped")
    into = VesselField("tank", "tote", "bottling_tank", label="Into")
    gauge = GaugeField(required=False, label="One gauge of all that was dumped")


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
        helds = _helds(fields, look)
        draws, slips = _draws(fields, helds, look)
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


def _helds(fields: Fields, look: Any) -> list[Held]:
    codes = [row["vessel"].code for row in fields["vessels"]]
    if len(set(codes)) != len(codes):
        raise BadFact("A vessel stands here twice. Give each one row.", field="vessels")
    look(*codes)
    return [one_of(look.in_account(code, "storage"), code, field="vessels") for code in codes]


def _draws(fields: Fields, helds: list[Held], look: Any) -> tuple[list[Draw], tuple[Slip, ...]]:
    if fields["gauge"] is None:
        return _by_row(fields, helds, look)
    if any(row["part"] or row["gauged"].is_gauged for row in fields["vessels"]):
        raise BadFact(
            "One gauge of all stands for whole vessels. Leave it out where each is gauged.",
            field="gauge",
        )
    wine, proof = gallons(fields["gauge"])
    wines = allocate(wine, [held.wine_gallons for held in helds])
    proofs = allocate(proof, [held.proof_gallons for held in helds])
    strength = tenths(fields["gauge"].proof)
    draws = [
        Draw(held, wine, proof, strength, is_whole=True)
        for held, wine, proof in zip(helds, wines, proofs, strict=True)
    ]
    return draws, (slip(fields["gauge"], "Gauge of all"),)


def _by_row(fields: Fields, helds: list[Held], look: Any) -> tuple[list[Draw], tuple[Slip, ...]]:
    draws, slips = [], []
    for row, held in zip(fields["vessels"], helds, strict=True):
        is_barrel = held.vessel.kind == Vessel.Kind.BARREL
        gauge = gauge_of(row, step=gauge_step(look) if is_barrel else "0.01")
        if gauge is None:
            raise BadFact(
                f"Spirits are gauged when they go to processing: gauge {held.vessel.code}, or "
                "give one gauge of all.",
                field="vessels",
            )
        draws.append(draw(held, gauge=gauge, is_whole=not row["part"], field="vessels"))
        slips.append(slip(gauge, held.vessel.code))
    return draws, tuple(slips)


def _told(draws: list[Draw], to: Place) -> tuple[str, ...]:
    wine, proof = sum(one.wine for one in draws), sum(one.proof for one in draws)
    book = sum(one.held.proof_gallons for one in draws if one.is_whole)
    lost = book - sum(one.proof for one in draws if one.is_whole)
    lines = [f"{wg(wine)}, {pg(proof)} dumped into {to.vessel}."]
    if lost > 0:
        lines.append(f"Loss since fill {pg(lost)} of {pg(book)}, {lost * 100 / book:.1f} %.")
    # A finishing cask must be filled from storage: after this there is no way back.
    lines.append("Processing gives no spirits back to storage here (27 CFR 19.351(c)).")
    return tuple(lines)


def _age(batch: NewLot, look: Any) -> tuple[str, ...]:
    age = counted_on(batch, day_of(look))
    return (f"Age of the youngest: {age} (27 CFR 19.328).",) if age else ()
