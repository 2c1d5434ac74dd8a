"""Weigh spent botanicals out of the basket: a record, since their grams left with the charge."""

from decimal import Decimal
from typing import Any

from distillery.botanicals import Bill, bill_of
from distillery.forms import ChoiceField, QuantityField, RecordForm, TextField, VesselField
from distillery.forms.past_lot_field import PastLotField
from distillery.models import Remark
from distillery.operations.base import Fields, Operation
from distillery.remarks import note, take_back
from ledger.models import Entry
from ledger.plan import Plan, Question, Slip

FATES = [
    ("compost", "compost"),
    ("bin", "closed bin outside"),
    ("feed", "animal feed"),
    ("rinsed", "rinsed into the tails, then thrown away"),
]


class SpentBotanicalsForm(RecordForm):
    """Of which run, how heavy they came out, and where they went."""

    still = VesselField("still", label="Still")
    run = PastLotField("run", label="Run")
    weight = QuantityField("small_weight", above=1, label="Weight out, wet")
    fate = ChoiceField(choices=FATES, label="Where they went")
    place = TextField(max_length=60, label="Place")


class SpentBotanicals(Operation):
    """What they hold of the spirits is part of the run's loss, or was rinsed into the tails."""

    slug = "spent-botanicals"
    title = "Weigh spent botanicals"
    group = "Distil"
    form = SpentBotanicalsForm
    hazards = ("basket",)
    kinds = ("still",)
    accounts = ("", "production", "processing")
    vessel_field = "still"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """No movement; weight out beside weight in."""
        used, out = bill_of(fields["run"]), fields["weight"]
        held_back = out - used.grams
        slip = Slip(
            "Spent botanicals",
            (("weighed in", f"{used.grams:,f} g"), ("weighed out, wet", f"{out:,f} g")), (),
            (("liquid held in them", f"{held_back:,f} g"),) if held_back >= 0 else (),
        )  # fmt: skip
        return Plan(slips=(slip,), lines=(_told(fields),), questions=_odd(used, out))

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """A remark on the pages of still and run."""
        words = _told(fields)
        note(entry, Remark.Kind.BOTANICALS, words, vessel=fields["still"], lot=fields["run"])

    def taken_back(self, entry: Entry) -> None:
        """The remark is void."""
        take_back(entry)


def _told(fields: Fields) -> str:
    at = f", {fields['place']}" if fields["place"] else ""
    where = dict(FATES)[fields["fate"]]
    return f"{fields['weight']:,f} g of spent botanicals of {fields['run'].code}: {where}{at}."


def _odd(used: Bill, out: Decimal) -> tuple[Question, ...]:
    """Asks when no botanical went into the run, or less comes out wet than went in dry."""
    if not used.lines:
        text = "The book has no botanicals of that run. Were they weighed in?"
        return (Question("no-botanicals", text),)
    if out < used.grams:
        text = f"{used.grams:,f} g went in dry, and {out:,f} g came out wet. Keep it?"
        return (Question("lighter-than-in", text),)
    return ()
