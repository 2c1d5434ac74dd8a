"""Spirits received for redistillation sent back unused (27 CFR 19.315, 19.316, 19.351(c))."""

from typing import Any

from django.db.models import Sum

from distillery.drawing import BULK, draw, gain_question
from distillery.forms import (
    CodeField,
    GaugeField,
    QuantityField,
    RecordForm,
    TextField,
    VesselField,
    YesField,
)
from distillery.operations.base import Fields, Operation
from distillery.plans import one_of, pg, room_question, slip
from distillery.pouring import Poured, pour
from ledger.accounts import ACCOUNTS
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Lot, Movement
from ledger.plan import Place, Plan, Question

NO_WAY_BACK = ("processing", "finished")


class ReturnRedistilForm(RecordForm):
    """What goes back unused, its gauge, and into which tank of storage."""

    vessel = VesselField(*BULK, "barrel", label="From")
    empties = YesField(label="All of it: the vessel is empty, or it stays where it stands")
    gauge = GaugeField(required=False, label="Gauge of what goes back")
    volume = QuantityField("volume", required=False, above=1, label="or gallons at book strength")
    to = VesselField(*BULK, required=False, label="Into, empty when it stays where it stands")
    why = TextField(label="Why it was not redistilled")
    lot = CodeField(label="Code of a new lot, empty for the next number")


class ReturnRedistil(Operation):
    """Back to storage when it came from there; never from processing by this way."""

    slug = "return-redistil"
    title = "Send back unused to storage"
    group = "Store"
    form = ReturnRedistilForm
    hazards = ("ethanol_vapour",)
    kinds = (*BULK, "barrel")
    accounts = ("redistil",)
    vessel_field = "vessel"
    is_rare = True

    def plan(self, fields: Fields, look: Any) -> Plan:
        """The gauge into storage; a loss once the vessel is emptied."""
        source = fields["vessel"]
        held = one_of(look.in_account(source.code, "redistil"), source.code, field="vessel")
        came = origins(look, held.lot)
        _refuse_processing(came, held.lot)
        to = fields["to"] or source
        if to == source and not fields["empties"]:
            raise BadFact("A part goes into a vessel of its own. Choose one.", field="to")
        drawn = draw(
            held, gauge=fields["gauge"], volume_gal=fields["volume"], is_whole=fields["empties"]
        )
        if to == source:
            into = Poured(Place("storage", held.lot.code, source.code), (), ())
        else:
            into = pour(
                look, vessel=to, account="storage", sources=[held.lot], field="to",
                code=fields["lot"] or "M-{n}", stage=held.lot.stage,
            )  # fmt: skip
        return Plan(
            (*into.legs, drawn.leg(into.place, "return"), *drawn.rest()), into.lots,
            document="RU-{n}", slips=(slip(fields["gauge"]),) if fields["gauge"] else (),
            lines=(f"{pg(drawn.proof)} of lot {held.lot.code} back to storage, unused.",),
            questions=(
                *_elsewhere(came), *gain_question([drawn]),
                *room_question(to, drawn.wine + into.heel_wine, look),
            ),
        )  # fmt: skip


def origins(look: Look, lot: Lot) -> dict[str, int]:
    """Account to proof gallons of all that *lot*, and what was mingled into it, came from.

    Only what still counts then: an entry taken back leaves nothing.
    """
    seen, ahead, found = set[int](), {lot.pk}, dict[str, int]()
    while ahead:
        seen |= ahead
        rows = Movement.objects.filter(to_lot__in=ahead, to_account="redistil", at__lte=look.at)
        outer = rows.exclude(from_account="redistil").values_list("from_account")
        for account, proof in outer.annotate(sum=Sum("proof_gallons")):
            found[account] = found.get(account, 0) + proof
        inner = rows.filter(from_account="redistil").values_list("from_lot")
        ahead = {one for one, sum_ in inner.annotate(sum=Sum("proof_gallons")) if sum_ > 0} - seen
    return {account: proof for account, proof in found.items() if proof > 0}


def _refuse_processing(came: dict[str, int], lot: Lot) -> None:
    """Raise BadFact when any of it was drawn out of processing."""
    if not set(came).intersection(NO_WAY_BACK):
        return
    raise BadFact(
        f"Lot {lot.code} was drawn out of processing, and spirits do not go from processing to "
        "storage at one plant (27 CFR 19.351(c)). Take the draw for redistillation back, or "
        "correct it by the difference: what was not redistilled never left processing.",
        field="vessel",
    )


def _elsewhere(came: dict[str, int]) -> tuple[Question, ...]:
    """Asks when some of it was never in storage here."""
    others = [ACCOUNTS[account].title for account in came if account != "storage"]
    if not others:
        return ()
    text = (
        f"These were received for redistillation from {' and '.join(others)}, not out of storage. "
        "Put them into storage all the same?"
    )
    return (Question("not-from-storage", text),)
