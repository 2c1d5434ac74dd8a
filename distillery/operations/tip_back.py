"""Tip low fills and rejects back into the tank of an open bottling (27 CFR 19.356, 19.599)."""

from decimal import Decimal
from typing import Any

from django.db.models import Sum

from distillery.bottled import in_store
from distillery.bottling import bottled_so_far, existing_lot, last_lot, run_at
from distillery.fill import worth
from distillery.forms import (
    ChoiceField,
    QuantityField,
    RecordForm,
    TextField,
    VesselField,
    YesField,
)
from distillery.models import BottlingRun
from distillery.operations.base import Fields, Operation
from distillery.operations.bottle import check_same
from distillery.plans import one_of, pg, place, tenths, wg
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Lot, Movement
from ledger.plan import Leg, Place, Plan, Question

WHY = [
    ("low fill", "low fill"), ("proof", "wrong proof"), ("closure", "closure or leak"),
    ("label", "label or glass"), ("other", "other"),
]  # fmt: skip


class TipBackForm(RecordForm):
    """How many, why, and whether they were counted as bottled."""

    vessel = VesselField("bottling_tank", "tank", label="Bottling tank")
    bottles = QuantityField("count", above=1, label="Bottles tipped back")
    why = ChoiceField(choices=WHY, label="Why")
    counted = YesField(label="They were counted as bottled before")
    store = VesselField("store", required=False, label="Store they stood in, if counted")
    proof_bottled = QuantityField(
        "proof", required=False, label="Proof they were bottled at, if not the label's"
    )
    corrected = TextField(label="What was corrected at the line")


class TipBack(Operation):
    """Bottles taken off the bottling's own count: the same flow, with its quantities negative.

    Nothing left the account, so nothing is dumped for rework; a bottling closed already, or
    another's bottles, are (TTB F 5110.28 lines 9 and 28 against 40 and 6).
    """

    slug = "tip-back"
    title = "Tip back bottles"
    group = "Process and bottle"
    form = TipBackForm
    hazards = ("glass", "ethanol_vapour")
    kinds = ("bottling_tank", "tank")
    accounts = ("processing",)
    vessel_field = "vessel"
    is_signed = True

    def plan(self, fields: Fields, look: Any) -> Plan:
        """Nothing when they were not counted yet; else what they had taken, back to the tank."""
        run, bottles = run_at(fields["vessel"], look.at), int(fields["bottles"])
        why = dict(WHY)[fields["why"]]
        first = f"{bottles:,} bottles of {run.product} tipped back into {run.vessel.code}: {why}."
        if not fields["counted"]:
            told = "They were never counted as bottled, so by the book they never left the tank."
            return Plan(document=run.serial, lines=(first, told))
        lot = existing_lot(run, look)
        if lot is None:
            raise BadFact(f"No bottle of {run.serial} was counted yet.", field="counted")
        held = in_store(look, lot, fields["store"])
        if bottles > held.amount:
            raise BadFact(
                f"{held.vessel.code} has {held.amount:,} bottles of lot {lot.code}, not "
                f"{bottles:,}. Others have gone: dump what came back for rework.",
                field="bottles",
            )
        tank = _tank(run, look)
        check_same(lot, tank.lot, run.vessel.code)
        proof = tenths(fields["proof_bottled"] or Decimal(lot.label_proof or 0) / 10)
        wine, proof_gallons = _worth(lot, bottles, proof, look)
        to = place(held)
        legs = (
            Leg(place(tank), to, "bottle", 0, wine, proof_gallons, proof=proof),
            Leg(Place("glass", lot.code), to, "bottle", -bottles, proof=proof),
        )
        return Plan(
            legs if wine or proof_gallons else legs[1:],
            document=run.serial,
            lines=(first, f"{wg(-wine)}, {pg(-proof_gallons)} back from lot {lot.code}."),
            questions=_earlier_question(lot, bottles, look),
        )  # fmt: skip


def _tank(run: BottlingRun, look: Look) -> Held:
    """What the tank holds; when the book has it empty, its last lot with nothing left."""
    found = look.in_account(run.vessel.code, "processing")
    if found:
        return one_of(found, run.vessel.code, field="vessel")
    return Held(last_lot(run, look), run.vessel, "processing", 0, 0, 0, look.at)


def _earlier_question(lot: Lot, bottles: int, look: Look) -> tuple[Question, ...]:
    """Asks when more come back than this month bottled: its line 9 would fall below zero."""
    start = look.at.astimezone(look.premises.zone).replace(
        day=1, hour=0, minute=0, second=0, microsecond=0
    )
    rows = Movement.objects.filter(to_lot=lot, purpose="bottle", at__gte=start)
    if bottles <= (rows.aggregate(sum=Sum("amount"))["sum"] or 0):
        return ()
    text = (
        "This month bottled fewer of them than come back, and its lines 9 and 28 of TTB F 5110.28 "
        "fall by it. Dumping them for rework is lines 40 and 6 instead. Tip them back?"
    )
    return (Question("bottled-earlier", text),)


def _worth(lot: Lot, bottles: int, proof: int, look: Look) -> tuple[int, int]:
    """What *bottles* had taken, in negative hundredths: the bottling is worth that much less.

    Raises BadFact when fewer were counted at that proof.
    """
    counted, booked = bottled_so_far(look.premises, lot.code)
    left = counted.get(proof, 0) - bottles
    if left < 0:
        raise BadFact(
            f"{counted.get(proof, 0):,} bottles of lot {lot.code} were counted at "
            f"{proof / 10:.1f} proof. Give the proof they were bottled at.",
            field="proof_bottled",
        )
    parts = [(count, strength) for strength, count in {**counted, proof: left}.items()]
    wine, proof_gallons = worth(parts, bottle_ml=lot.bottle_ml or 0, booked=booked)
    return min(0, wine), min(0, proof_gallons)
