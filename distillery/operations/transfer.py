"""Move spirits from one tank to another within an account (27 CFR 19.590(b), 19.326)."""

from typing import Any

from distillery.drawing import BULK, Draw, draw, gain_question
from distillery.forms import (
    CodeField,
    GaugeField,
    QuantityField,
    RecordForm,
    VesselField,
    YesField,
)
from distillery.kinds import band_field, class_of, distilled_at_field, family_field, type_field
from distillery.mingling import mingling_questions
from distillery.operations.base import Fields, Operation
from distillery.packages import day_of
from distillery.plans import one_of, pg, room_question, slip, wg
from distillery.pouring import TOGETHER, Poured, pour
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Vessel
from ledger.plan import Plan, Question

FROM_ACCOUNTS = ("production", "redistil", "storage", "processing")


class TransferForm(RecordForm):
    """From where to where, and how much."""

    vessel = VesselField(*BULK, label="From")
    to = VesselField(*BULK, label="Into")
    empties = YesField(label="All of it: the vessel is empty afterwards")
    gauge = GaugeField(required=False, label="Gauge of what was moved")
    volume = QuantityField("volume", required=False, above=1, label="or gallons at book strength")
    family = family_field(required=False, label="Kind, if two kinds come together")
    type_code = type_field()
    distilled_at = distilled_at_field()
    band = band_field()
    lot = CodeField(label="Code of a new lot, empty for the next number")


class Transfer(Operation):
    """All or part of a tank into another; onto a heel it opens a new lot."""

    slug = "transfer"
    title = "Move between tanks"
    group = "Store"
    form = TransferForm
    hazards = ("ethanol_vapour",)
    kinds = BULK
    accounts = FROM_ACCOUNTS
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """What moves, what the heel becomes, and what emptying found."""
        source, to = fields["vessel"], fields["to"]
        if source == to:
            raise BadFact("These are the same tank. Choose another to move into.", field="to")
        held = one_of(look.in_account(source.code, *FROM_ACCOUNTS), source.code, field="vessel")
        drawn = draw(
            held, gauge=fields["gauge"], volume_gal=fields["volume"], is_whole=fields["empties"]
        )
        into = pour(
            look, vessel=to, account=held.account, sources=[held.lot], field="to",
            code=fields["lot"] or _next_code(held.account), stage=held.lot.stage,
            class_code=class_of(fields), type_code=fields["type_code"],
        )  # fmt: skip
        purpose = TOGETHER[held.account] if into.lots else "move"
        legs = (*into.legs, drawn.leg(into.place, purpose), *drawn.rest())
        return Plan(
            legs, into.lots, slips=(slip(fields["gauge"]),) if fields["gauge"] else (),
            lines=(_told(drawn, to),),
            questions=(
                *gain_question([drawn]), *room_question(to, drawn.wine + into.heel_wine, look),
                *_mingling(held, into, look),
            ),
        )  # fmt: skip


def _mingling(held: Held, into: Poured, look: Look) -> tuple[Question, ...]:
    """What storage asks where a heel of another kind or wood is poured onto (27 CFR 19.326)."""
    if held.account != "storage" or not into.legs:
        return ()
    heels = [look.lot(leg.origin.lot) for leg in into.legs]
    return mingling_questions([held.lot, *heels], day_of(look))


def _next_code(account: str) -> str:
    return "B-{n}" if account == "processing" else "M-{n}"


def _told(drawn: Draw, to: Vessel) -> str:
    code = drawn.held.vessel.code
    return f"{wg(drawn.wine)}, {pg(drawn.proof)} from {code} into {to.code}."
