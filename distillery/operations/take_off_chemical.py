"""Fusel oil, chemicals, extraneous distillate taken off the system (27 CFR 19.584, 19.307)."""

from typing import Any

from distillery.forms import ChoiceField, QuantityField, RecordForm, TextField, VesselField
from distillery.forms.past_lot_field import PastLotField
from distillery.models import Remark
from distillery.operations.base import Fields, Operation
from distillery.plans import wg
from distillery.remarks import note, take_back
from ledger.models import Entry
from ledger.plan import Plan
from ledger.quantities import to_hundredths

KINDS = [
    ("fusel oil", "fusel oil"),
    ("chemical", "another chemical"),
    ("extraneous distillate", "distillate with extraneous substances"),
]


class TakeOffChemicalForm(RecordForm):
    """What was taken off, how much, where it went, and how much alcohol a test found in it."""

    still = VesselField("still", label="Still")
    run = PastLotField("run", required=False, label="Run")
    kind = ChoiceField(choices=KINDS, label="What was taken off")
    name = TextField(max_length=60, label="Name of the chemical or distillate")
    volume = QuantityField("volume", above=1, label="Quantity")
    disposition = TextField(required=True, label="What became of it")
    consignee = TextField(max_length=120, label="To: name")
    consignee_address = TextField(label="To: address")
    test_abv = QuantityField("percent", required=False, label="Alcohol found by test, %")


class TakeOffChemical(Operation):
    """Taken off before any gauge, so the book holds no proof gallons of it: a daily record."""

    slug = "take-off-chemical"
    title = "Take off fusel oil or a chemical"
    group = "Distil"
    form = TakeOffChemicalForm
    hazards = ("foreshots", "ethanol_vapour")
    kinds = ("still",)
    accounts = ("production", "processing")
    vessel_field = "still"
    is_rare = True

    def plan(self, fields: Fields, look: Any) -> Plan:
        """No movement; the sentence is kept beside the still and its run."""
        return Plan(document="FO-{n}", lines=(_told(fields),))

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """A remark on the pages of still and run."""
        words = _told(fields)
        note(entry, Remark.Kind.CHEMICAL, words, vessel=fields["still"], lot=fields["run"])

    def taken_back(self, entry: Entry) -> None:
        """The remark is void."""
        take_back(entry)


def _told(fields: Fields) -> str:
    what = fields["name"] or dict(KINDS)[fields["kind"]]
    found = fields["test_abv"]
    tested = "" if found is None else f", {found:f} % alcohol found in it"
    to = f" to {fields['consignee']}" if fields["consignee"] else ""
    volume = wg(to_hundredths(fields["volume"]))
    return f"{volume} of {what} taken off{tested}: {fields['disposition']}{to}."
