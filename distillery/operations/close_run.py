"""Close a run: what is left goes to residue, alcohol in is compared with alcohol out."""

from typing import Any

from distillery.forms import ChoiceField, QuantityField, RecordForm, VesselField
from distillery.models import Remark
from distillery.operations.base import Fields, Operation
from distillery.plans import loss_or_gain, pg, place, wg
from distillery.remarks import note, take_back
from distillery.runs import RunSums, run_in, run_sums, wash_estimate
from ledger.looking import Held
from ledger.models import Entry, Lot
from ledger.plan import Leg, Place, Plan, Question, Slip
from ledger.quantities import to_hundredths

LEAST_RECOVERED = 90  # percent of a charge of spirits; 96 to 100 is usual (common practice)
ROUTES = [
    ("", "not said"),
    ("feed", "animal feed"),
    ("field", "field"),
    ("sewer", "permitted sewer"),
    ("hauler", "hauler"),
    ("backset", "kept for the next mash"),
]


class CloseRunForm(RecordForm):
    """The still, and the stillage if it was measured."""

    still = VesselField("still", label="Still")
    stillage = QuantityField("volume", required=False, above=1, label="Stillage, measured")
    route = ChoiceField(choices=ROUTES, required=False, label="Where it went")


def residue_legs(run: Held, wine: int) -> tuple[Leg, ...]:
    """*wine* hundredths to residue; steam or shrinkage explains what that is more or less."""
    if not wine:
        return ()
    out = Leg(place(run), Place("residue", run.lot.code), "run", 0, wine)
    difference = wine - run.wine_gallons
    return (*loss_or_gain(place(run), wine=difference, proof=0, purpose="run"), out)


def balance_slip(run: Held, sums: RunSums) -> Slip:
    """Alcohol in against alcohol out of the run, in proof gallons."""
    estimate = wash_estimate(sums) if sums.has_wash else None
    readings = [("spirits and feints charged", pg(sums.spirits_in))]
    if sums.has_wash:
        readings.append(("wash charged", wg(sum(sums.wash_in.values()))))
    if estimate is not None:
        readings.append(("in that wash, by its gravities", f"about {pg(estimate)}"))
    readings += [(code, pg(proof)) for code, proof in sums.out.items()]
    known = sums.spirits_in + (estimate or 0)
    result = [("in", pg(known)), ("out", pg(sums.collected))]
    if sums.has_wash and estimate is None:
        result.append(("difference", "not known: nobody gauged the wash"))
    else:
        result.append(("out less in", pg(sums.collected - known)))
        if known:
            result.append(("recovered", f"{sums.collected * 100 / known:.1f} %"))
    step = "Wash by gravity is an estimate, half a point of strength either way."
    return Slip("Alcohol of the run", tuple(readings), (step,) if estimate else (), tuple(result))


def _missing(run: Held, sums: RunSums) -> tuple[Question, ...]:
    """A question when a good part of the spirits charged never came over."""
    if run.proof_gallons * 100 <= sums.spirits_in * (100 - LEAST_RECOVERED):
        return ()
    text = (
        f"{pg(run.proof_gallons)} of the {pg(sums.spirits_in)} charged have not been collected. "
        "Is a fraction still missing, or close the run with that?"
    )
    return (Question("fraction-missing", text),)


class CloseRun(Operation):
    """The still stands empty afterwards.

    A run with wash gives its difference to ``distilled``: nobody had gauged the wash. A run of
    spirits alone has a loss; its gain, if any, was booked when it was collected.
    """

    slug = "close-run"
    title = "Close a run"
    group = "Distil"
    form = CloseRunForm
    hazards = ("stillage", "still_pressure")
    kinds = ("still",)
    accounts = ("production",)
    vessel_field = "still"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """Gallons to residue, proof gallons to where they belong."""
        run = run_in(look, fields["still"])
        sums = run_sums(look, run.lot)
        at, code = place(run), run.lot.code
        stillage = fields["stillage"]
        wine = run.wine_gallons if stillage is None else to_hundredths(stillage)
        legs = list(residue_legs(run, wine))
        if run.proof_gallons and sums.has_wash:
            to = Place("distilled", code)
            legs.append(Leg(at, to, "run_balance", 0, 0, run.proof_gallons))
        elif run.proof_gallons:
            legs.append(Leg(at, Place("loss", code), "run", 0, 0, run.proof_gallons))
        if run.amount:
            legs.append(Leg(at, Place("residue", code), "run", run.amount))
        return Plan(
            tuple(legs), slips=(balance_slip(run, sums),),
            lines=(f"{wg(wine)} of stillage; {fields['still'].code} is empty.",),
            questions=_missing(run, sums),
        )  # fmt: skip

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """Where the stillage went, on the run's page."""
        if fields["route"] and plan.legs:
            run = Lot.objects.get(premises=entry.premises, code=plan.legs[0].origin.lot)
            route = dict(ROUTES)[fields["route"]]
            note(entry, Remark.Kind.STILLAGE, f"Stillage of {run.code}: {route}.", lot=run)

    def taken_back(self, entry: Entry) -> None:
        """The remark is void."""
        take_back(entry)
