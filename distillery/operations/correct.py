"""Correcting one movement by the difference alone, where the thing is now."""

from datetime import datetime
from decimal import Decimal

from django.core.exceptions import ValidationError

from distillery.forms import LotField, QuantityField, TextField, VesselField
from distillery.forms.named_entry import NamedEntryForm
from distillery.operations.base import Fields, Operation
from distillery.standing_in_the_way import refuse_if_used
from ledger import units
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Entry
from ledger.plan import Plan
from ledger.quantities import amount_to_book, to_hundredths
from ledger.reversing import difference, movements_of

AMOUNT_KINDS = {
    "lb": "weight", "g": "small_weight", "gal": "volume", "bottle": "count", "each": "count",
}  # fmt: skip
WAY_ROUND = "Name the vessel it stands in now, and the difference is booked there."


class CorrectForm(NamedEntryForm):
    """One movement of an entry and what it should have said; the ``reason`` says why."""

    leg = QuantityField("count", above=1, label="Number of the movement in it")
    amount = TextField(label="Right amount (pounds, grams, bottles), if it was wrong")
    wine_gallons = QuantityField("volume", required=False, label="Right wine gallons, if wrong")
    proof_gallons = QuantityField(
        "proof_gallons", required=False, label="Right proof gallons, if wrong"
    )
    stands_in = VesselField(required=False, label="Vessel it stands in now, if it has moved on")
    lot = LotField(required=False, label="Lot there, if the vessel holds several")

    def clean(self) -> Fields:
        """At least one right figure."""
        data: Fields = super().clean() or {}
        given = [data.get("amount") or None, data.get("wine_gallons"), data.get("proof_gallons")]
        if not self.errors and all(value is None for value in given):
            raise ValidationError("Give the right amount, wine gallons or proof gallons.")
        if data.get("lot") and not data.get("stands_in"):
            raise ValidationError({"stands_in": "Name the vessel that holds the lot."})
        return data


class Correct(Operation):
    """One mistyped figure must not undo what came after it."""

    slug = "correct"
    title = "Correct a figure"
    group = "Count and correct"
    form = CorrectForm
    is_signed = True
    owner_only = True
    needs_reason = True

    def plan(self, fields: Fields, look: Look) -> Plan:
        """The right figure less what the entry says."""
        entry, vessel = fields["entry"], fields["stands_in"]
        plan = difference(
            entry, look, leg=int(fields["leg"]), amount=right_amount(fields),
            wine_gallons=hundredths(fields["wine_gallons"]),
            proof_gallons=hundredths(fields["proof_gallons"]),
            stands_in=vessel.code if vessel else "",
            stands_lot=fields["lot"].code if fields["lot"] else "",
        )  # fmt: skip
        refuse_if_used(plan, entry, look, way_round=WAY_ROUND)
        return plan

    def happened_at(self, fields: Fields) -> datetime:
        """When the entry happened; now, as filled in, when the difference stands elsewhere."""
        moment: datetime = fields["at"] if fields["stands_in"] else fields["entry"].happened_at
        return moment

    def names(self, fields: Fields) -> dict[str, Entry]:
        """The entry corrected."""
        return {"corrects": fields["entry"]}


def hundredths(value: Decimal | None) -> int | None:
    """A typed figure in the book's hundredths; None stays None."""
    return None if value is None else to_hundredths(value)


def right_amount(fields: Fields) -> int | None:
    """The typed amount in the unit of the movement's lot; None when none was typed."""
    text = fields["amount"]
    if not text:
        return None
    rows = {row.leg: row for row in movements_of(fields["entry"])}
    movement = rows.get(int(fields["leg"]))
    lot = (movement.to_lot or movement.from_lot) if movement else None
    kind = AMOUNT_KINDS.get(lot.unit) if lot else None
    if lot is None or kind is None:
        raise BadFact("This movement counts in gallons; give those.", field="amount")
    try:
        return amount_to_book(units.parse(text, kind), lot.unit)
    except units.UnitError as error:
        raise BadFact(str(error), field="amount") from error
