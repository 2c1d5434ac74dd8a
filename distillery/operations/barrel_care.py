"""What is done to a barrel itself: swelled, steamed, recharred, repaired, weighed, sold, retired.

27 CFR 19.618 names the cooperage codes that follow from it: REC recharred, PS steamed or soaked.
"""

from typing import Any

from django.core.exceptions import ValidationError

from distillery import barrel_life
from distillery.barrel_life import GONE, Kind, gone_question
from distillery.forms import ChoiceField, QuantityField, RecordForm, TextField
from distillery.forms.barrels_field import BarrelsField
from distillery.operations.base import Fields, Operation
from distillery.plans import pg
from ledger.looking import Look
from ledger.models import Entry
from ledger.plan import Plan, Question

DONE = [
    (Kind.SWELLED, "swelled with water, no leak"),
    (Kind.PREPARED, "steamed or soaked before filling"),
    (Kind.RECHARRED, "recharred"),
    (Kind.REPAIRED, "repaired"),
    (Kind.WEIGHED, "weighed empty"),
    (Kind.SOLD, "sold or sent away"),
    (Kind.RETIRED, "retired, broken up"),
    (Kind.BACK, "back in use"),
]
EMPTY_ONLY = (Kind.PREPARED, Kind.RECHARRED, Kind.WEIGHED, Kind.RETIRED)


class BarrelCareForm(RecordForm):
    """Which barrels, what was done, and what there is to tell of it."""

    barrels = BarrelsField(label="Barrels, like B-101..B-112, B-120")
    done = ChoiceField(choices=DONE, label="What was done")
    tare = QuantityField("weight", required=False, above=1, label="Empty weight, if weighed")
    hours = TextField(max_length=40, label="How long, like 24 hours")
    whom = TextField(max_length=120, label="By whom, or to whom")
    words = TextField(max_length=200, label="What was seen: leaks, heads, hoops")

    def clean(self) -> dict[str, Any]:
        """A weighing has its weight."""
        data = super().clean() or {}
        if not self.errors and data["done"] == Kind.WEIGHED and data["tare"] is None:
            raise ValidationError({"tare": "Give the empty weight."})
        return data


class BarrelCare(Operation):
    """Moves no spirits; the plant's list follows the newest of it."""

    slug = "barrel-care"
    title = "Care for barrels"
    group = "Store"
    form = BarrelCareForm
    hazards = ("barrels", "lifting", "hot_liquor")
    kinds = ("barrel",)
    accounts = ("", "storage", "processing")
    vessel_field = "barrels"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """A line; a question where the book still has spirits in a barrel that must be empty."""
        barrels = fields["barrels"]
        codes = ", ".join(one.code for one in barrels)
        line = f"{codes}: {dict(DONE)[fields['done']]}."
        gone = () if fields["done"] in (*GONE, Kind.BACK) else gone_question(barrels)
        return Plan(lines=(line,), questions=(*_full(fields, look), *gone))

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """One row a barrel."""
        told = (fields["hours"], fields["whom"], fields["words"])
        barrel_life.note(
            entry, fields["done"], fields["barrels"], tare_lb=barrel_life.pounds(fields["tare"]),
            words=", ".join(text for text in told if text),
        )  # fmt: skip

    def taken_back(self, entry: Entry) -> None:
        """It was not done."""
        barrel_life.take_back(entry)


def _full(fields: Fields, look: Look) -> tuple[Question, ...]:
    """A barrel that was sold full left by a shipment; one recharred held nothing."""
    if fields["done"] not in (*EMPTY_ONLY, Kind.SOLD):
        return ()
    held = look(*(one.code for one in fields["barrels"]))
    if not held:
        return ()
    told = ", ".join(f"{one.vessel.code} {pg(one.proof_gallons)}" for one in held)
    text = f"The book still has spirits in {told}. Record their dump or shipment too. Keep this?"
    return (Question("barrel-not-empty", text),)
