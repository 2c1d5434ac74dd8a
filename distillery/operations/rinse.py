"""Rinse dumped barrels: what was soaked into the wood comes back, by gauge.

27 CFR 19.462(a) books a barrel's whole loss at its dump, so what rinsing recovers is a gain.
"""

from typing import Any

from distillery import barrel_life
from distillery.ages import age_on, in_no_wood
from distillery.barrel_life import Kind, last_out
from distillery.drawing import BULK, allocate
from distillery.forms import ChoiceField, GaugeField, QuantityField, RecordForm, VesselField
from distillery.forms.barrels_field import BarrelsField
from distillery.operations.base import Fields, Operation
from distillery.plans import gallons, lot_like, pg, room_question, slip, wg
from distillery.pouring import pour
from ledger.accounts import ACCOUNTS
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Entry, Movement
from ledger.plan import Leg, NewLot, Place, Plan, Question
from ledger.quantities import to_hundredths

INTO = [(code, ACCOUNTS[code].title) for code in ("storage", "processing")]
MUCH_OF_DUMP = 10  # more than a tenth of what was dumped is asked about; common practice


class RinseForm(RecordForm):
    """The barrels, the water, and the gauge of what came out."""

    barrels = BarrelsField(label="Barrels rinsed, like B-101..B-104")
    water = QuantityField("volume", above=1, label="Water put in, gallons")
    account = ChoiceField(choices=INTO, label="Account of the tank")
    into = VesselField(*BULK, label="Into tank")
    gauge = GaugeField(label="Gauge of what came out")


class Rinse(Operation):
    """Water in, weak spirits out: the proof gallons are a gain with this explanation."""

    slug = "rinse"
    title = "Rinse dumped barrels"
    group = "Store"
    form = RinseForm
    hazards = ("lifting", "barrels", "hot_liquor", "ethanol_vapour")
    kinds = ("barrel",)
    accounts = ("",)
    vessel_field = "barrels"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """Gain and water into a lot of its own, which is poured into the tank."""
        outs = _dumped(fields, look)
        lot = _recovered(outs, fields, look)
        account, vessel = fields["account"], fields["into"]
        into = pour(
            look, vessel=vessel, account=account, sources=[lot], field="into",
            code=lot.code, stage=lot.stage,
        )  # fmt: skip
        wine, proof = gallons(fields["gauge"])
        water = min(wine, to_hundredths(fields["water"]))
        legs = [*into.legs, *_gains(outs, into.place, wine - water, proof)]
        if water:
            legs.append(Leg(Place("water", into.place.lot), into.place, "reduce", 0, water))
        codes = ", ".join(one.code for one in fields["barrels"])
        explained = f"{pg(proof)} recovered by rinsing {codes} with {wg(water)} of water."
        return Plan(
            tuple(legs), into.lots or (lot,), slips=(slip(fields["gauge"], "Gauge of the rinse"),),
            lines=(explained, f"A gain of {ACCOUNTS[account].title}, with that explanation."),
            questions=(
                *_much(outs, proof), *room_question(vessel, wine + into.heel_wine, look),
            ),
        )  # fmt: skip

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """That each was rinsed."""
        barrel_life.note(entry, Kind.RINSED, fields["barrels"], words=plan.lines[0][:400])

    def taken_back(self, entry: Entry) -> None:
        """They were not rinsed."""
        barrel_life.take_back(entry)


def _dumped(fields: Fields, look: Look) -> list[Movement]:
    """The dump of each barrel. Raises BadFact for one that is full, or never held anything."""
    codes = [one.code for one in fields["barrels"]]
    if full := next(iter(look(*codes)), None):
        raise BadFact(
            f"{full.vessel.code} holds {pg(full.proof_gallons)} by the book. Record its dump "
            "first.",
            field="barrels",
        )
    outs = []
    for vessel in fields["barrels"]:
        out = last_out(vessel, look.at)
        if out is None or out.from_lot is None:
            raise BadFact(f"The book has nothing that {vessel.code} held.", field="barrels")
        outs.append(out)
    lots = {out.from_lot.designation_id for out in outs if out.from_lot}
    if len(lots) > 1:
        raise BadFact("These held different kinds. Record each rinse of its own.", field="barrels")
    return outs


def _gains(outs: list[Movement], to: Place, wine: int, proof: int) -> list[Leg]:
    """What came back, shared among the lots that were dumped, so that a trace finds them."""
    dumped: dict[str, int] = {}
    for out in outs:
        if out.from_lot:
            code = out.from_lot.code
            dumped[code] = dumped.get(code, 0) + max(1, out.proof_gallons)
    wines, proofs = allocate(wine, [*dumped.values()]), allocate(proof, [*dumped.values()])
    rows = zip(dumped, wines, proofs, strict=True)
    return [
        Leg(Place("gain", code), to, "rinse", 0, gallons_back, proof_back)
        for code, gallons_back, proof_back in rows
        if gallons_back or proof_back
    ]


def _recovered(outs: list[Movement], fields: Fields, look: Look) -> NewLot:
    """The lot of what came back: of the kind that was dumped, as old as it was then."""
    last = outs[0]
    lot: Any = last.from_lot
    age = age_on(lot, last.at.astimezone(look.premises.zone).date())
    stage = "spirits" if fields["account"] == "storage" else "batch"
    code = "M-{n}" if fields["account"] == "storage" else "B-{n}"
    return lot_like(lot, code, stage=stage, **in_no_wood(age))


def _much(outs: list[Movement], proof: int) -> tuple[Question, ...]:
    dumped = sum(out.proof_gallons for out in outs)
    if proof * MUCH_OF_DUMP <= dumped:
        return ()
    text = (
        f"{pg(proof)} recovered is more than a tenth of the {pg(dumped)} that were dumped. Was "
        "something else gauged with it?"
    )
    return (Question("rinse-much", text),)
