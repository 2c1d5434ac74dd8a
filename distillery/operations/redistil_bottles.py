"""Dump bottled goods for redistillation: finished goods to the production account (19.601(b)).

27 CFR 19.283 (gauge on the way between accounts), 19.286 (full bottles by their labels), 19.602.
"""

from distillery.bottled import carried
from distillery.bottled_rows import BottlesPart, bottles_by_place, told_count
from distillery.drawing import BULK, more_question
from distillery.forms import CodeField, GaugeField, RecordForm, RowsField, TextField, VesselField
from distillery.operations.base import Fields, Operation
from distillery.plans import pg, place, poured_to, room_question, slip
from distillery.pouring import pour
from ledger.looking import Look
from ledger.plan import Leg, Place, Plan

BY_LABEL = "Taken by the label: full, and nobody has tampered with them (27 CFR 19.286)."


class RedistilBottlesForm(RecordForm):
    """Which bottles, where they wait for the still, and the gauge of what came of them."""

    bottles = RowsField(BottlesPart, label="Dumped, partial cases bottle by bottle")
    into = VesselField(*BULK, label="Into; what waits there is mingled with it")
    gauge = GaugeField(required=False, label="Gauge of the vessel afterwards")
    made_into = TextField(label="What it is redistilled into")
    lot = CodeField(label="Code of the new lot, empty for the next number")


class RedistilBottles(Operation):
    """TTB F 5110.28 line 37 and 5110.40 line 15 in one movement; it waits uncharged."""

    slug = "redistil-bottles"
    title = "Dump bottles for redistillation"
    group = "Process and bottle"
    form = RedistilBottlesForm
    hazards = ("glass", "ethanol_vapour", "lifting")
    kinds = ("store",)
    accounts = ("finished",)
    vessel_field = "bottles-store"
    is_rare = True

    def plan(self, fields: Fields, look: Look) -> Plan:
        """What the bottles carry into the vessel, their glass out, and the gauge's difference."""
        dumped = bottles_by_place(fields["bottles"], look)
        into = pour(
            look, vessel=fields["into"], account="redistil", field="into",
            sources=[held.lot for held, _ in dumped], code=fields["lot"] or "M-{n}",
            stage="spirits", is_new=True, unit="pg",
        )  # fmt: skip
        legs: list[Leg] = [*into.legs]
        for held, bottles in dumped:
            wine, proof = carried(held, bottles)
            legs.append(Leg(place(held), into.place, "redistil", 0, wine, proof))
            legs.append(Leg(place(held), Place("glass", held.lot.code), "rework", bottles))
        wine, proof = (sum(getattr(leg, name) for leg in legs)
                       for name in ("wine_gallons", "proof_gallons"))  # fmt: skip
        found, more = poured_to(
            fields["gauge"], into.place, wine=wine, proof=proof, purpose="rework"
        )
        gauge = fields["gauge"]
        told = [f"{told_count(held.lot, bottles)} of {held.lot.name}, lot {held.lot.code}, dumped."
                for held, bottles in dumped]  # fmt: skip
        return Plan(
            (*legs, *found), into.lots, document="GR-{n}",
            slips=(slip(gauge, "Gauge after"),) if gauge else (),
            lines=(*told, f"{pg(proof)} wait in {fields['into'].code} for the still.",
                   *(() if gauge else (BY_LABEL,))),
            questions=(
                *more_question({fields["into"].code: more}),
                *room_question(fields["into"], wine, look),
            ),
        )  # fmt: skip
