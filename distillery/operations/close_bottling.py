"""Closing a bottling: what is left in the tank, and the gain or loss of the run."""

from typing import Any

from distillery.bottling import bottled_so_far, run_at, runs_in
from distillery.forms import GaugeField, RecordForm, VesselField, YesField
from distillery.models import BottlingRun
from distillery.operations.base import Fields, Operation
from distillery.plans import found_by_gauge, loss_or_gain, pg, place, slip, wg
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Entry
from ledger.plan import Leg, Plan, Question

LARGE = 20  # a loss of more than one part in twenty of the run is asked about; our own figure


class CloseBottlingForm(RecordForm):
    """The tank, and what is left in it if it is not empty (27 CFR 19.599)."""

    vessel = VesselField("bottling_tank", "tank", label="Bottling tank")
    gauge = GaugeField(required=False, label="Gauge of what is left, if the tank is not empty")
    rest_stays = YesField(label="What the book has left stays in the tank, ungauged")


class CloseBottling(Operation):
    """What the book has left in the tank and the tank has not is the loss of bottling."""

    slug = "close-bottling"
    title = "Close a bottling"
    group = "Process and bottle"
    form = CloseBottlingForm
    hazards = ("ethanol_vapour",)
    kinds = ("bottling_tank", "tank")
    accounts = ("", "processing")
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """Down to nothing, or to the gauge, or nothing at all when the rest stays."""
        run = run_at(fields["vessel"], look.at)
        if run.closed_by:
            raise BadFact(f"Bottling {run.serial} is closed already.", field="vessel")
        found = look.in_account(run.vessel.code, "processing")
        gauge = fields["gauge"]
        if gauge and not found:
            raise BadFact(f"The book has nothing left in {run.vessel.code}.", field="gauge")
        legs: tuple[Leg, ...] = ()
        if gauge:
            legs = found_by_gauge(look.one(run.vessel.code, "processing"), gauge, "bottling")
        elif not fields["rest_stays"]:
            legs = tuple(leg for held in found for leg in emptied(held))
        bottles, booked = bottled_so_far(look.premises, run.lot_code)
        lost = sum(leg.proof_gallons for leg in legs if leg.to.account == "loss")
        return Plan(
            legs, document=run.serial, slips=(slip(gauge, "What is left"),) if gauge else (),
            lines=summary(run, sum(bottles.values()), booked, legs),
            questions=loss_question(run, lost, booked[1]),
        )  # fmt: skip

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """The run is closed."""
        run = run_at(fields["vessel"], entry.happened_at)
        run.closed_by = entry
        run.save(update_fields=["closed_by"])

    def taken_back(self, entry: Entry) -> None:
        """The run is open again, unless its tank is in another bottling by now."""
        run = BottlingRun.objects.get(closed_by=entry)
        other = next((row for row in runs_in(run.vessel) if row.closed_by is None), None)
        if other:
            raise BadFact(f"Bottling {other.serial} is open in {run.vessel.code} by now.")
        run.closed_by = None
        run.save(update_fields=["closed_by"])


def emptied(held: Held) -> tuple[Leg, ...]:
    """The legs that take what the book has left out of the tank."""
    return loss_or_gain(
        place(held), wine=-held.wine_gallons, proof=-held.proof_gallons, purpose="bottling"
    )


def summary(
    run: Any, bottles: int, booked: tuple[int, int], legs: tuple[Leg, ...]
) -> tuple[str, ...]:
    """The account of the run: bottled, and lost or gained."""
    lost = sum(leg.proof_gallons for leg in legs if leg.to.account == "loss")
    gained = sum(leg.proof_gallons for leg in legs if leg.origin.account == "gain")
    end = f"loss {pg(lost)}" if lost else f"gain {pg(gained)}" if gained else "no loss or gain"
    return (
        f"Bottling {run.serial}, {run.product}: {bottles:,} bottles, {wg(booked[0])}, "
        f"{pg(booked[1])}; {end}.",
    )


def loss_question(run: BottlingRun, lost: int, bottled: int) -> tuple[Question, ...]:
    """Asks when a large part of the run would be written off."""
    if lost * LARGE <= lost + bottled:
        return ()
    text = (
        f"This writes off {pg(lost)} as lost in bottling {run.serial}. If spirits are still in "
        "the tank, gauge them or say that the rest stays. Is it lost?"
    )
    return (Question("large-loss", text),)
