"""Filter a batch in processing (27 CFR 19.283, 19.598)."""

from typing import Any

from distillery.drawing import more_question
from distillery.forms import GaugeField, RecordForm, TextField, VesselField
from distillery.operations.base import Fields, Operation
from distillery.operations.blend import TANKS
from distillery.plans import found_by_gauge, gallons, one_of, pg, place, room_question, slip, tenths
from distillery.pouring import heel_in
from ledger.errors import BadFact
from ledger.plan import Leg, Place, Plan


class FilterForm(RecordForm):
    """What was filtered through what, and the gauge afterwards."""

    vessel = VesselField(*TANKS, label="From")
    to = VesselField(*TANKS, required=False, label="Into, empty for the same tank")
    gauge = GaugeField(label="Gauge after filtering")
    medium = TextField(label="Filtered through, like 5 µm pads at 20 °F")


class Filter(Operation):
    """The whole batch through a filter; what stays in it is a loss of processing."""

    slug = "filter"
    title = "Filter"
    group = "Process and bottle"
    form = FilterForm
    hazards = ("pressure_filter", "ethanol_vapour")
    kinds = TANKS
    accounts = ("processing",)
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """The difference to the gauge, and the same lot in its new tank if it changed."""
        vessel, gauge = fields["vessel"], fields["gauge"]
        to = fields["to"] or vessel
        held = one_of(look.in_account(vessel.code, "processing"), vessel.code, field="vessel")
        wine, proof = gallons(gauge)
        legs = found_by_gauge(held, gauge, "filter")
        if to != vessel:
            if heel_in(look, to, "processing", field="to"):
                raise BadFact(f"{to.code} is not empty by the book. Choose another.", field="to")
            there = Leg(
                place(held), Place("processing", held.lot.code, to.code), "move", 0, wine, proof,
                proof=tenths(gauge.proof),
            )  # fmt: skip
            legs = (*legs, there)
        less = held.proof_gallons - proof
        told = f"{pg(less)} stayed in the filter." if less > 0 else "No loss by the gauge."
        return Plan(
            legs, slips=(slip(gauge, "Gauge after filtering"),), lines=(told,),
            questions=(*more_question({vessel.code: -less}), *room_question(to, wine, look)),
        )  # fmt: skip
