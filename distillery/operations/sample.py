"""Take a sample of any spirits, bulk or bottled (27 CFR 19.434, 19.435, 19.616)."""

from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottles import bottles_worth
from distillery.drawing import BULK
from distillery.forms import (
    ChoiceField,
    GaugeField,
    LotField,
    QuantityField,
    RecordForm,
    TextField,
    VesselField,
)
from distillery.operations.base import Fields, Operation
from distillery.plans import gallons, one_of, pg, place, slip, tenths
from distillery.samples import keep_pull, milliliters, moved_by, take_back
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Entry
from ledger.plan import Leg, Place, Plan, Question

FREE = {
    "laboratory": "laboratory analysis",
    "research": "research, development or testing",
    "government": "asked for by government",
    "customer": "quality sample for a buyer under an agreement, 1 liter at most",
}
# Not free of tax (27 CFR 19.434(d)(1)): offered so that the way round can be told.
TAXED = {"tasting": "tasting by the public or by consumers", "market": "market work"}
PURPOSES = [*FREE.items(), *TAXED.items()]
ACCOUNTS = ("production", "redistil", "storage", "processing", "finished")
LITER = Decimal(1000)


class SampleForm(RecordForm):
    """From where, how much, why, and who has it now."""

    vessel = VesselField(label="From")
    lot = LotField(required=False, label="Lot, where the vessel holds several")
    volume = QuantityField(
        "volume", unit="mL", required=False, above=1, label="Size of one sample, in bulk"
    )
    number = QuantityField(
        "count", required=False, above=1, label="Number of samples, empty for one"
    )
    bottles = QuantityField("count", required=False, above=1, label="Bottles")
    purpose = ChoiceField(choices=PURPOSES, label="For")
    disposition = TextField(required=True, label="What became of it")
    recipient = TextField(max_length=120, label="Outside recipient, name")
    recipient_address = TextField(label="Outside recipient's address")
    agreement = TextField(max_length=120, label="Purchase agreement, for a buyer's sample")
    schedule = TextField(max_length=120, label="Sampling schedule it follows, if any")
    gauge = GaugeField(
        required=False, label="Production gauge of the sample, if it counts as produced"
    )

    def clean(self) -> dict[str, Any]:
        """A volume or bottles, a purpose that is free of tax, and who has a buyer's sample."""
        data = super().clean() or {}
        if self.errors:
            return data
        data["number"] = int(data["number"] or 1)
        if (data["volume"] is None) == (data["bottles"] is None):
            raise ValidationError({"volume": "Give a volume like 200 mL, or a count of bottles."})
        if data["purpose"] in TAXED:
            raise ValidationError({
                "purpose": f"Spirits for {TAXED[data['purpose']]} are not free of tax (27 CFR "
                "19.434(d)(1)). Record them under Remove from bond."
            })  # fmt: skip
        if data["purpose"] == "customer" and not data["recipient"]:
            raise ValidationError(
                {"recipient": "Name the buyer who has it, with address (27 CFR 19.616)."}
            )
        return data


class Sample(Operation):
    """A small pull needs no gauge: its volume at the book's strength is what it is worth.

    Before the production gauge a pull is no withdrawal and fills no report line; gauged, it
    counts as produced and withdrawn (27 CFR 19.585, TTB F 5110.40 line 12).
    """

    slug = "sample"
    title = "Take a sample"
    group = "Remove"
    form = SampleForm
    hazards = ("ethanol_vapour", "tasting")
    kinds = (*BULK, "barrel", "store")
    accounts = ACCOUNTS
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """Out of the account, free of tax, for research or testing."""
        held = _held(fields, look)
        _check_size(held, fields)
        gauge = fields["gauge"]
        if gauge and held.account != "production":
            raise BadFact(f"{held.vessel.code} was gauged before: leave it out.", field="gauge")
        amount, wine, proof = _taken(held, fields)
        is_daily = held.account in ("production", "redistil") and not gauge
        to = Place("loss" if is_daily else "research", held.lot.code)
        strength = tenths(gauge.proof) if gauge else held.proof_tenths
        leg = Leg(place(held), to, "sample", amount, wine, proof, proof=strength)
        return Plan(
            (leg,) if amount or wine or proof else (),
            slips=(slip(gauge, "Production gauge of the sample"),) if gauge else (),
            lines=(*_told(held, fields, proof), *((DAILY,) if is_daily else ())),
            questions=_questions(fields),
        )  # fmt: skip

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """A pull in bulk as it was, for the running total of its lot."""
        if fields["volume"] is None or fields["gauge"]:
            return
        ml = milliliters(fields["volume"]) * fields["number"]
        leg = next((leg for leg in plan.legs if leg.purpose == "sample"), None)
        look = Look(entry.premises, entry.happened_at)
        if leg is None:
            held = _held(fields, look)
        else:  # the vessel may be empty by now
            lot, vessel = look.lot(leg.origin.lot), fields["vessel"]
            held = Held(lot, vessel, leg.origin.account, 0, 0, 0, look.at)
        keep_pull(entry, plan, held, ml)

    def taken_back(self, entry: Entry) -> None:
        """The pull counts no more."""
        take_back(entry)


DAILY = "Not yet gauged as produced: told in the daily record only (27 CFR 19.585(a)(2), 19.616)."


def _held(fields: Fields, look: Look) -> Held:
    code, lot = fields["vessel"].code, fields["lot"]
    found = look.in_account(code, *ACCOUNTS)
    if lot:
        found = [held for held in found if held.lot.code == lot.code]
    elif len(found) > 1:
        raise BadFact(f"{code} holds several lots. Name the lot.", field="lot")
    return one_of(found, code, field="vessel")


def _taken(held: Held, fields: Fields) -> tuple[int, int, int]:
    """(bottles, wine, proof) of the sample in the book's integers."""
    if fields["bottles"] is not None:
        if held.account != "finished":
            raise BadFact(f"{held.vessel.code} holds bulk. Give a volume.", field="bottles")
        bottles = int(fields["bottles"])
        return (bottles, *bottles_worth(held, bottles))
    if held.account == "finished":
        raise BadFact(f"{held.vessel.code} holds bottles. Give their count.", field="volume")
    if fields["gauge"]:
        return 0, *gallons(fields["gauge"])
    return 0, *moved_by(held, milliliters(fields["volume"]) * fields["number"])


def _size_ml(held: Held, fields: Fields) -> Decimal:
    if fields["volume"] is None:
        return Decimal(held.lot.bottle_ml or 0)
    return milliliters(fields["volume"])


def _told(held: Held, fields: Fields, proof: int) -> tuple[str, ...]:
    count = fields["number"] if fields["volume"] is not None else int(fields["bottles"])
    size = f"{count:,} × {_size_ml(held, fields):f} mL"
    first = f"{size}, {pg(proof)} of lot {held.lot.code}: {FREE[fields['purpose']]}."
    if proof or fields["volume"] is None:
        return (first,)
    return (first, "Under a hundredth of a gallon: kept, and booked with the lot's next pulls.")


def _check_size(held: Held, fields: Fields) -> None:
    """A buyer's sample over a liter is not free of tax (27 CFR 19.434(b)): it is a removal."""
    size = _size_ml(held, fields)
    if fields["purpose"] == "customer" and size > LITER:
        raise BadFact(
            f"A buyer's sample is 1 liter at most (27 CFR 19.434(b)), and this is {size:f} mL. "
            "Tax is due on it: record it under Remove on tax determination.",
            field="bottles" if fields["volume"] is None else "volume",
        )


def _questions(fields: Fields) -> tuple[Question, ...]:
    """A buyer's sample is given under an agreement (27 CFR 19.434(b))."""
    if fields["purpose"] != "customer" or fields["agreement"]:
        return ()
    text = "A buyer's sample is given under a purchase agreement (27 CFR 19.434(b)). Keep it?"
    return (Question("no-agreement", text),)
