"""Collect a fraction of a run into a receiver (27 CFR 19.289(a), 19.585(a)(3))."""

from dataclasses import dataclass
from typing import Any

from distillery.forms import ChoiceField, GaugeField, RecordForm, VesselField
from distillery.operations.base import Fields, Operation
from distillery.plans import (
    gallons,
    loss_or_gain,
    lot_like,
    move,
    pg,
    place,
    room_question,
    slip,
    tenths,
    wg,
)  # fmt: skip
from distillery.pouring import heel_in
from distillery.runs import FRACTIONS, run_in, run_sums
from ledger.gauging import Gauge
from ledger.looking import Held, Look
from ledger.models import Lot
from ledger.plan import Leg, NewLot, Place, Plan, Question


class CollectForm(RecordForm):
    """Which part of the run, where to, and its gauge."""

    still = VesselField("still", label="Still")
    fraction = ChoiceField(choices=[(word, word) for word in FRACTIONS], label="Fraction")
    into = VesselField("receiver", "tank", "tote", label="Into")
    gauge = GaugeField(step="0.01", label="Gauge of what was collected")


@dataclass(frozen=True, slots=True)
class Receiving:
    """The fraction's place, and what opens with it: a lot, and the heel's way into it."""

    place: Place
    lots: tuple[NewLot, ...]
    legs: tuple[Leg, ...]
    heel: Held | None


def receive(look: Look, run: Lot, fraction: str, into: Any) -> Receiving:
    """The lot of *fraction* in vessel *into*.

    The same fraction of the same run goes on in the same receiver; onto a heel of anything
    else it opens a new lot, whose parents are both. Raises BadFact for spirits of another
    account.
    """
    heel = heel_in(look, into, "production", field="into")
    start = f"{run.code}-{fraction.replace(' ', '-')}"
    if heel and heel.lot.code in {start, *_numbered(look, start)}:
        return Receiving(place(heel), (), (), heel)
    taken = look.codes_like(start)
    code = next(
        code for code in (start, *(f"{start}-{n}" for n in range(2, 1000))) if code not in taken
    )
    lot = lot_like(run, code, stage="fraction", name=f"{fraction.capitalize()} of {run.code}")
    to = Place("production", code, into.code)
    legs = (move(heel, to, "move"),) if heel else ()
    return Receiving(to, (lot,), legs, heel)


def _numbered(look: Look, start: str) -> set[str]:
    """Codes like ``R-7-hearts-2``, but not those of a fraction with a longer name."""
    return {code for code in look.codes_like(f"{start}-") if code[len(start) + 1 :].isdigit()}


def run_legs(run: Held, gauge: Gauge, to: Place, *, has_wash: bool) -> tuple[Leg, ...]:
    """The movements of one collection, first out of what the run holds by the book.

    What wash gives beyond that was only now distilled; what a run of gauged spirits gives
    beyond its charge is a gain of the run.
    """
    wine, proof = gallons(gauge)
    more_wine = max(0, wine - run.wine_gallons)
    more_proof = max(0, proof - run.proof_gallons)
    strength = tenths(gauge.proof)
    if not has_wash:
        gained = loss_or_gain(place(run), wine=more_wine, proof=more_proof, purpose="run")
        return (*gained, Leg(place(run), to, "cut", 0, wine, proof, proof=strength))
    legs = []
    if wine > more_wine or proof > more_proof:
        known = wine - more_wine, proof - more_proof
        legs.append(Leg(place(run), to, "cut", 0, *known, proof=strength))
    if more_wine or more_proof:
        distilled = Place("distilled", run.lot.code)
        legs.append(Leg(distilled, to, "collect", 0, more_wine, more_proof, proof=strength))
    return tuple(legs)


class Collect(Operation):
    """A fraction leaves the still at its gauge; a run gives as many as it likes, on any day."""

    slug = "collect"
    title = "Collect a fraction"
    group = "Distil"
    form = CollectForm
    hazards = ("still_pressure", "ethanol_vapour", "foreshots")
    kinds = ("still",)
    accounts = ("production",)
    vessel_field = "still"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """The gauge out of the run into the fraction's lot."""
        gauge, into = fields["gauge"], fields["into"]
        run = run_in(look, fields["still"])
        has_wash = run_sums(look, run.lot).has_wash
        receiving = receive(look, run.lot, fields["fraction"], into)
        wine, proof = gallons(gauge)
        heel_wine = receiving.heel.wine_gallons if receiving.heel else 0
        questions = list(room_question(into, wine + heel_wine, look))
        if not has_wash and proof > run.proof_gallons:
            text = (
                f"{run.lot.code} has {pg(run.proof_gallons)} left of its charge, and this takes "
                f"{pg(proof)}. Book the difference as a gain of the run?"
            )
            questions.append(Question("more-than-charged", text))
        return Plan(
            (*receiving.legs, *run_legs(run, gauge, receiving.place, has_wash=has_wash)),
            receiving.lots, slips=(slip(gauge),),
            lines=(f"{wg(wine)}, {pg(proof)} of {fields['fraction']} into {into.code}.",),
            questions=tuple(questions),
        )  # fmt: skip
