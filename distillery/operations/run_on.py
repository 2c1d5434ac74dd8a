"""Start a stopped still again: the same run goes on."""

from typing import Any

from distillery.forms import QuantityField, RecordForm, VesselField
from distillery.models import Remark
from distillery.operations.base import Fields, Operation
from distillery.remarks import note, take_back
from distillery.runs import standing_run
from ledger.looking import Look
from ledger.models import Entry
from ledger.plan import Plan


class RunOnForm(RecordForm):
    """Which still, and how warm it was."""

    still = VesselField("still", label="Still")
    temperature = QuantityField("temperature", required=False, label="Head temperature")


class RunOn(Operation):
    """Nothing moves; the still is no longer shown as stopped."""

    slug = "run-on"
    title = "Run the still on"
    group = "Distil"
    form = RunOnForm
    hazards = ("start_run",)
    kinds = ("still",)
    accounts = ("production", "processing")
    vessel_field = "still"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """No movement. Refuses a still without a run."""
        run = standing_run(look, fields["still"])
        return Plan(lines=(f"{fields['still'].code} runs on with {run.lot.code}.",))

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """A remark on the pages of still and run."""
        run = standing_run(Look(entry.premises, entry.happened_at), fields["still"])
        warm = fields["temperature"]
        words = "Run on" if warm is None else f"Run on, head at {warm:f} °F"
        note(entry, Remark.Kind.RUNNING, words, vessel=fields["still"], lot=run.lot)

    def taken_back(self, entry: Entry) -> None:
        """The remark is void."""
        take_back(entry)
