"""Stop a still in the middle of its run: heads are off, the basket is loaded, it cools."""

from typing import Any

from distillery.forms import QuantityField, RecordForm, TextField, VesselField
from distillery.models import Remark
from distillery.operations.base import Fields, Operation
from distillery.remarks import note, take_back
from distillery.runs import standing_run
from ledger.looking import Look
from ledger.models import Entry
from ledger.plan import Plan


class StopStillForm(RecordForm):
    """Which still, why, and how it ran last."""

    still = VesselField("still", label="Still")
    why = TextField(label="Why, like to load the basket")
    proof = QuantityField("proof", required=False, label="Proof at the parrot")
    temperature = QuantityField("temperature", required=False, label="Head temperature")


class StopStill(Operation):
    """Nothing moves: what stands in the still stays there, and the still is shown as stopped."""

    slug = "stop-still"
    title = "Stop the still"
    group = "Distil"
    form = StopStillForm
    hazards = ("running",)
    kinds = ("still",)
    accounts = ("production", "processing")
    vessel_field = "still"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """No movement. Refuses a still without a run."""
        run = standing_run(look, fields["still"])
        return Plan(lines=(f"{fields['still'].code} stopped; {run.lot.code} stands in it.",))

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """A remark on the pages of still and run."""
        run = standing_run(Look(entry.premises, entry.happened_at), fields["still"])
        words = [fields["why"]]
        if fields["proof"] is not None:
            words.append(f"{fields['proof']:f} proof at the parrot")
        if fields["temperature"] is not None:
            words.append(f"head at {fields['temperature']:f} °F")
        told = ", ".join(word for word in words if word) or "No reason noted"
        note(entry, Remark.Kind.STOPPED, told, vessel=fields["still"], lot=run.lot)

    def taken_back(self, entry: Entry) -> None:
        """The remark is void."""
        take_back(entry)
