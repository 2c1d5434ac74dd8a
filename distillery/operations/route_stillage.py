"""Say where stillage of a run went: feed, field, sewer or hauler; nothing moves in the book."""

from typing import Any

from distillery.forms import ChoiceField, QuantityField, RecordForm, TextField
from distillery.forms.past_lot_field import PastLotField
from distillery.models import Remark
from distillery.operations.base import Fields, Operation
from distillery.operations.ferment_reading import PhField
from distillery.plans import wg
from distillery.remarks import note, take_back
from ledger.models import Entry
from ledger.plan import Plan
from ledger.quantities import to_hundredths

ROUTES = [
    ("feed", "animal feed"),
    ("field", "spread on a field"),
    ("sewer", "sewer, under permit"),
    ("hauler", "hauler"),
    ("compost", "compost"),
]


class RouteStillageForm(RecordForm):
    """Which run's stillage, how much, where it went, and to whom."""

    run = PastLotField("run", label="Run")
    volume = QuantityField("volume", above=1, label="Stillage")
    route = ChoiceField(choices=ROUTES, label="Where it went")
    to_name = TextField(max_length=120, label="Who took it")
    to_address = TextField(label="Their address")
    temperature = QuantityField("temperature", required=False, label="Temperature")
    ph = PhField(label="pH")
    papers = TextField(max_length=60, label="Permit or delivery paper")


class RouteStillage(Operation):
    """The residue of the run was booked when the run was closed; this tells its way."""

    slug = "route-stillage"
    title = "Say where stillage went"
    group = "Materials and mash"
    form = RouteStillageForm
    hazards = ("stillage",)

    def plan(self, fields: Fields, look: Any) -> Plan:
        """No movement; the sentence is kept beside the run."""
        return Plan(lines=(_told(fields),))

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """A remark on the run's page."""
        note(entry, Remark.Kind.STILLAGE, _told(fields), lot=fields["run"])

    def taken_back(self, entry: Entry) -> None:
        """The remark is void."""
        take_back(entry)


def _told(fields: Fields) -> str:
    to = f", {fields['to_name']}" if fields["to_name"] else ""
    route = dict(ROUTES)[fields["route"]]
    volume = wg(to_hundredths(fields["volume"]))
    return f"{volume} of stillage of {fields['run'].code}: {route}{to}."
