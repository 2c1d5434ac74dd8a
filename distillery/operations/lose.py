"""Record a loss by its cause, or what a gauge finds (27 CFR 19.461 to 19.465)."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottles import bottles_worth
from distillery.drawing import BULK, more_question, share
from distillery.flavorings import alcohol_in
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
from distillery.plans import gallons, loss_or_gain, one_of, pg, place, slip
from ledger import units
from ledger.accounts import INSIDE
from ledger.errors import BadFact
from ledger.looking import Held
from ledger.plan import Leg, Place, Plan, Question
from ledger.quantities import amount_to_book, to_hundredths

CAUSES = [
    ("spill", "spill"), ("leak", "leak"), ("accident", "accident"), ("breakage", "breakage"),
    ("fill", "filling"), ("filter", "filtering"), ("rinse", "rinsing"), ("theft", "theft"),
    ("missing", "missing, not explained"),
]  # fmt: skip
# On these tax is due unless it is excused or claimed for (27 CFR 19.461(b), 19.462(c)).
TAXED_CAUSES = ("theft", "missing")
ACCOUNTS = tuple(code for code in INSIDE if code != "taxpaid")
UNTAXED = ("materials", "fermenting")
KINDS = {"lb": "weight", "g": "small_weight", "gal": "volume", "each": "count"}
WAYS = ("volume", "bottles", "amount", "gauge", "everything")


class LoseForm(RecordForm):
    """Where, why, and how much: gallons, bottles, pounds, all, or the gauge of what is left."""

    vessel = VesselField(label="From")
    lot = LotField(required=False, label="Lot, where the vessel holds several")
    cause = ChoiceField(choices=CAUSES, label="Cause")
    volume = QuantityField("volume", required=False, above=1, label="Gallons lost")
    bottles = QuantityField("count", required=False, above=1, label="Bottles lost")
    amount = TextField(label="Pounds, grams, gallons or count lost, of a material")
    gauge = GaugeField(required=False, label="Gauge of what is left")
    everything = YesField(label="All of it is lost")
    found_how = TextField(label="How and by whom it was found")
    reported = TextField(label="Told to TTB, when and how")
    excused = TextField(label="Theft or missing: why no tax is due, like a claim filed")
    taxed = YesField(label="Tax is due on it for another reason (27 CFR 19.461)")

    def clean(self) -> dict[str, Any]:
        """One way to the quantity; an excuse only where there is something to excuse."""
        data = super().clean() or {}
        if self.errors:
            return data
        if len([name for name in WAYS if data.get(name)]) != 1:
            raise ValidationError(
                "Give what was lost in one way, all of it, or the gauge of what is left."
            )
        if data["excused"] and data["taxed"]:
            raise ValidationError({"excused": "Tax is due, or it is excused: not both."})
        return data


class Lose(Operation):
    """A known loss leaves its account when it is found; what is left may be gauged instead."""

    slug = "lose"
    title = "Record a loss"
    group = "Count and correct"
    form = LoseForm
    hazards = ("leak", "ethanol_vapour", "glass")
    kinds = (*BULK, "barrel", "store", "fermenter", "still")
    accounts = ACCOUNTS
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """One movement to loss under its cause; a gauge above the book is a gain."""
        held = _held(fields, look)
        taxed = is_taxed(held, fields)
        if fields["gauge"]:
            return _by_gauge(held, fields, taxed=taxed)
        three = _lost(held, fields)
        to, purpose = _where(held, fields["cause"])
        leg = Leg(place(held), Place(to, held.lot.code), purpose, *three, taxed=taxed)
        return Plan(
            (leg,), lines=_told(held, fields, three[2], taxed=taxed), questions=_theft(fields)
        )


def _held(fields: Fields, look: Any) -> Held:
    code, lot = fields["vessel"].code, fields["lot"]
    found = [h for h in look.in_account(code, *ACCOUNTS) if not lot or h.lot == lot]
    if len(found) > 1:
        raise BadFact(f"{code} holds several lots. Name the lot.", field="lot")
    return one_of(found, code, field="vessel")


def is_taxed(held: Held, fields: Fields) -> bool:
    """Whether tax is due on the loss: theft and missing packages unless excused, or as told.

    Bottles nobody can explain are a shortage, which is taxed by its own flow (27 CFR 19.465).
    """
    if held.account in UNTAXED or (held.account == "finished" and fields["cause"] == "missing"):
        return False
    return bool(fields["taxed"] or (fields["cause"] in TAXED_CAUSES and not fields["excused"]))


def _where(held: Held, cause: str) -> tuple[str, str]:
    """(boundary, purpose): bottles nobody can explain are a shortage, which is taxed (19.465)."""
    if held.account == "finished" and cause == "missing":
        return "shortage", "count"
    if held.account == "materials":
        return "loss", "count"
    return "loss", "spill" if held.account == "fermenting" else cause


def _by_gauge(held: Held, fields: Fields, *, taxed: bool) -> Plan:
    """From the book to the gauge of what is left; more than the book has is asked about."""
    if held.account in ("materials", "finished"):
        raise BadFact(f"{held.vessel.code} holds no bulk. Give what was lost.", field="gauge")
    wine, proof = gallons(fields["gauge"])
    wine -= held.wine_gallons
    proof = 0 if held.account == "fermenting" else proof - held.proof_gallons
    legs: tuple[Leg, ...]
    if proof <= 0 and wine < 0:  # what is gone took its gallons along, with or without alcohol
        to, purpose = _where(held, fields["cause"])
        legs = (Leg(place(held), Place(to, held.lot.code), purpose, 0, -wine, -proof, taxed=taxed),)
    else:
        _, purpose = _where(held, fields["cause"])
        legs = _marked(loss_or_gain(place(held), wine=wine, proof=proof, purpose=purpose), taxed)
    return Plan(
        legs, slips=(slip(fields["gauge"], "Gauge of what is left"),),
        lines=_told(held, fields, -proof, taxed=taxed and proof < 0),
        questions=(*more_question({held.vessel.code: proof}), *_theft(fields)),
    )  # fmt: skip


def _marked(legs: tuple[Leg, ...], taxed: bool) -> tuple[Leg, ...]:
    """*legs* with those to loss marked as taxed."""
    return tuple(
        Leg(leg.origin, leg.to, leg.purpose, leg.amount, leg.wine_gallons, leg.proof_gallons,
            taxed=taxed and leg.to.account == "loss")
        for leg in legs
    )  # fmt: skip


def _told(held: Held, fields: Fields, proof: int, *, taxed: bool) -> tuple[str, ...]:
    where = f"lot {held.lot.code} in {held.vessel.code}"
    if proof < 0:
        return (f"The gauge finds {pg(-proof)} more of {where} than the book has.",)
    lines = [f"{dict(CAUSES)[fields['cause']].capitalize()} of {where}: {pg(proof)}."]
    if taxed:
        lines.append("Tax is due on it and stands in the month's tax (27 CFR 19.461(b)).")
    elif fields["excused"] and fields["cause"] in TAXED_CAUSES:
        lines.append(f"No tax: {fields['excused']}.")
    return tuple(lines)


def _theft(fields: Fields) -> tuple[Question, ...]:
    """Theft and missing packages are told to TTB at once; asked until it is said how."""
    if fields["cause"] not in TAXED_CAUSES or fields["reported"]:
        return ()
    text = (
        "Theft and missing packages are reported to TTB at once (27 CFR 19.462, 19.463), and it "
        "is not said when and how. Keep?"
    )
    return (Question("report-theft", text),)


def _lost(held: Held, fields: Fields) -> tuple[int, int, int]:
    """(amount, wine, proof) lost, in the book's integers."""
    if fields["everything"]:
        return held.amount, held.wine_gallons, held.proof_gallons
    if fields["bottles"]:
        bottles = int(fields["bottles"])
        return (bottles, *bottles_worth(held, bottles))
    if fields["amount"]:
        return _of_material(held, fields["amount"])
    if held.account in ("materials", "finished"):
        field = "bottles" if held.account == "finished" else "amount"
        raise BadFact(f"{held.vessel.code} is not counted in gallons.", field=field)
    wine = to_hundredths(fields["volume"])
    return 0, wine, share(held, wine) if held.account != "fermenting" else 0


def _of_material(held: Held, text: str) -> tuple[int, int, int]:
    if held.lot.unit not in KINDS or held.account != "materials":
        raise BadFact("This is counted in gallons or bottles; give those.", field="amount")
    try:
        number = units.parse(text, KINDS[held.lot.unit])
    except units.UnitError as error:
        raise BadFact(str(error), field="amount") from error
    amount = amount_to_book(number, held.lot.unit)
    return (amount, *alcohol_in(held, amount))
