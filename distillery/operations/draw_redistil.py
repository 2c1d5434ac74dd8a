"""Draw spirits for redistillation (27 CFR 19.315, 19.316, 19.618(b)(3))."""

from typing import Any

from distillery.drawing import BULK, draw, gain_question
from distillery.forms import CodeField, GaugeField, RecordForm, TextField, VesselField, YesField
from distillery.operations.base import Fields, Operation
from distillery.plans import one_of, pg, room_question, slip
from distillery.pouring import Poured, facts_of, pour, refuse_wine
from ledger.accounts import ACCOUNTS
from ledger.errors import BadFact
from ledger.plan import Place, Plan


class DrawRedistilForm(RecordForm):
    """From which vessel, its gauge, and where it waits for the still."""

    vessel = VesselField(*BULK, "barrel", label="From")
    gauge = GaugeField(label="Gauge of what was drawn")
    empties = YesField(label="All of it: the vessel is empty, or it waits where it stands")
    to = VesselField(*BULK, required=False, label="Into, empty when it stays where it stands")
    made_into = TextField(label="What it is redistilled into")
    lot = CodeField(label="Code of a new lot, empty for the next number")


class DrawRedistil(Operation):
    """Storage or bulk processing gives spirits back to the still house, gauged."""

    slug = "draw-redistil"
    title = "Draw for redistillation"
    group = "Store"
    form = DrawRedistilForm
    hazards = ("ethanol_vapour",)
    kinds = (*BULK, "barrel")
    accounts = ("storage", "processing")
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """The gauge into the account received for redistillation; a loss once emptied."""
        source, gauge = fields["vessel"], fields["gauge"]
        held = one_of(look.in_account(source.code, *self.accounts), source.code, field="vessel")
        refuse_wine([facts_of(held.lot)], field="vessel")
        to = fields["to"] or source
        if to == source and not fields["empties"]:
            raise BadFact("A part goes into a vessel of its own. Choose one.", field="to")
        drawn = draw(held, gauge=gauge, is_whole=fields["empties"])
        if to == source:
            into = Poured(Place("redistil", held.lot.code, source.code), (), ())
        else:
            into = pour(
                look, vessel=to, account="redistil", sources=[held.lot], field="to",
                code=fields["lot"] or "M-{n}", stage=held.lot.stage,
            )  # fmt: skip
        told = f"{pg(drawn.proof)} of lot {held.lot.code} out of {ACCOUNTS[held.account].title}."
        asked = (*gain_question([drawn]), *room_question(to, drawn.wine + into.heel_wine, look))
        return Plan(
            (*into.legs, drawn.leg(into.place, "redistil"), *drawn.rest()),
            into.lots, document="GR-{n}", slips=(slip(gauge),), lines=(told,), questions=asked,
        )  # fmt: skip
