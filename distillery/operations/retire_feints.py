"""Feints retired: spirits destroyed or used up before the gauge (27 CFR 19.585(a)(2), 19.459)."""

from typing import Any

from distillery.drawing import BULK, draw, gain_question
from distillery.forms import (
    ChoiceField,
    GaugeField,
    QuantityField,
    RecordForm,
    TextField,
    VesselField,
    YesField,
)
from distillery.operations.base import Fields, Operation
from distillery.plans import one_of, pg, slip, wg
from ledger.plan import Place, Plan

FATES = [
    ("destroyed", "destroyed"),
    ("cleaning", "used for cleaning"),
    ("extraneous", "removed for extraneous substances (27 CFR 19.307)"),
]


class RetireFeintsForm(RecordForm):
    """What was retired, how much by gauge, how, where and by whom."""

    vessel = VesselField(*BULK, label="From")
    empties = YesField(label="All of it: the vessel is empty afterwards")
    gauge = GaugeField(required=False, label="Gauge of what was retired")
    volume = QuantityField("volume", required=False, above=1, label="or gallons at book strength")
    fate = ChoiceField(choices=FATES, label="What became of it")
    manner = TextField(label="How, like diluted and drained")
    place = TextField(label="Where it was done")
    person = TextField(max_length=120, label="Who did or watched it")
    person_title = TextField(max_length=120, label="Title of that person")


class RetireFeints(Operation):
    """Foreshots, heads and old feints leave production ungauged for tax: a daily record only."""

    slug = "retire-feints"
    title = "Retire feints or foreshots"
    group = "Distil"
    form = RetireFeintsForm
    hazards = ("foreshots", "ethanol_vapour")
    kinds = ("receiver", "tank", "tote")
    accounts = ("production",)
    vessel_field = "vessel"
    is_rare = True

    def plan(self, fields: Fields, look: Any) -> Plan:
        """One movement to destroyed; a regauge once the vessel is emptied."""
        code = fields["vessel"].code
        held = one_of(look.in_account(code, "production"), code, field="vessel")
        drawn = draw(
            held, gauge=fields["gauge"], volume_gal=fields["volume"], is_whole=fields["empties"]
        )
        leg = drawn.leg(Place("destroyed", held.lot.code), "destroy")
        words = ", ".join(word for word in (dict(FATES)[fields["fate"]], fields["manner"]) if word)
        told = f"{wg(drawn.wine)}, {pg(drawn.proof)} of {held.lot.name}: {words}."
        return Plan(
            (leg, *drawn.rest()), document="DD-{n}", lines=(told,),
            slips=(slip(fields["gauge"]),) if fields["gauge"] else (),
            questions=gain_question([drawn]),
        )  # fmt: skip
