"""Record a loss: a spill, a leak, breakage, theft (27 CFR 19.461 to 19.465)."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottles import bottles_worth
from distillery.drawing import share
from distillery.forms import (
    ChoiceField,
    GaugeField,
    LotField,
    QuantityField,
    RecordForm,
    TextField,
    VesselField,
    YesField,
)
from distillery.operations.base import Fields, Operation
from distillery.plans import gallons, one_of, pg, place
from ledger import units
from ledger.accounts import INSIDE
from ledger.errors import BadFact
from ledger.looking import Held
from ledger.plan import Leg, Place, Plan, Question
from ledger.quantities import amount_to_book, to_hundredths

CAUSES = [
    ("spill", "spill"), ("leak", "leak"), ("breakage", "breakage"), ("theft", "theft"),
    ("missing", "missing, not explained"),
]  # fmt: skip
ACCOUNTS = tuple(code for code in INSIDE if code != "taxpaid")
KINDS = {"lb": "weight", "g": "small_weight", "gal": "volume", "each": "count"}


class LoseForm(RecordForm):
    """Where, why, and how much: gallons, bottles, pounds, or the gauge of what is left."""

    vessel = VesselField(label="From")
    lot = LotField(required=False, label="Lot, where the vessel holds several")
    cause = ChoiceField(choices=CAUSES, label="Cause")
    volume = QuantityField("volume", required=False, above=1, label="Gallons lost")
    bottles = QuantityField("count", required=False, above=1, label="Bottles lost")
    amount = TextField(label="Pounds or grams lost, of a material")
    gauge = GaugeField(required=False, label="Gauge of what is left")
    taxed = YesField(label="Tax is due on it (theft not excused, 27 CFR 19.461)")

    def clean(self) -> dict[str, Any]:
        """One way to the quantity."""
        data = super().clean() or {}
        given = [n for n in ("volume", "bottles", "amount", "gauge") if data.get(n)]
        if not self.errors and len(given) != 1:
            raise ValidationError("Give what was lost in one way, or the gauge of what is left.")
        return data


class Lose(Operation):
    """A known loss leaves its account when it is found; what is left may be gauged instead."""

    slug = "lose"
    title = "Record a loss"
    group = "Count and correct"
    form = LoseForm
    hazards = ("ethanol_vapour", "glass")
    kinds = ()
    accounts = ACCOUNTS
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """One movement to loss, under its cause."""
        code, lot = fields["vessel"].code, fields["lot"]
        found = [h for h in look.in_account(code, *ACCOUNTS) if not lot or h.lot == lot]
        if len(found) > 1:
            raise BadFact(f"{code} holds several lots. Name the lot.", field="lot")
        held = one_of(found, code, field="vessel")
        three = _lost(held, fields)
        to, purpose = _where(held, fields["cause"])
        leg = Leg(
            place(held), Place(to, held.lot.code), purpose, *three,
            taxed=fields["taxed"] and held.account not in ("materials", "fermenting"),
        )  # fmt: skip
        told = f"{fields['cause'].capitalize()} of lot {held.lot.code} in {code}: {pg(three[2])}."
        return Plan((leg,), lines=(told,), questions=_theft(fields))


def _where(held: Held, cause: str) -> tuple[str, str]:
    """(boundary, purpose): bottles nobody can explain are a shortage, which is taxed (19.465)."""
    if held.account == "finished" and cause == "missing":
        return "shortage", "count"
    if held.account == "materials":
        return "loss", "count"
    return "loss", "spill" if held.account == "fermenting" else cause


def _theft(fields: Fields) -> tuple[Question, ...]:
    if fields["cause"] not in ("theft", "missing"):
        return ()
    text = "Theft and missing packages are reported to TTB at once (27 CFR 19.462, 19.463). Keep?"
    return (Question("report-theft", text),)


def _lost(held: Held, fields: Fields) -> tuple[int, int, int]:
    """(amount, wine, proof) lost, in the book's integers."""
    if fields["bottles"]:
        bottles = int(fields["bottles"])
        return (bottles, *bottles_worth(held, bottles))
    if fields["amount"]:
        if held.lot.unit not in KINDS or held.account != "materials":
            raise BadFact("This is counted in gallons or bottles; give those.", field="amount")
        try:
            number = units.parse(fields["amount"], KINDS[held.lot.unit])
        except units.UnitError as error:
            raise BadFact(str(error), field="amount") from error
        return amount_to_book(number, held.lot.unit), 0, 0
    if fields["gauge"]:
        wine, proof = gallons(fields["gauge"])
        if proof > held.proof_gallons:
            raise BadFact(
                f"The gauge finds {pg(proof)}, more than the book's {pg(held.proof_gallons)}. "
                "Record a count instead.",
                field="gauge",
            )
        return 0, max(0, held.wine_gallons - wine), held.proof_gallons - proof
    wine = to_hundredths(fields["volume"])
    return 0, wine, share(held, wine) if held.account != "fermenting" else 0
