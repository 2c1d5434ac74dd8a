"""A physical count: what stands in the vessels against what the book has."""

from collections.abc import Iterable
from decimal import Decimal
from json import loads
from typing import Any

from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from distillery.consequences import consequence
from distillery.count_questions import (
    far_from_day,
    far_off,
    for_its_day,
    no_notice,
    not_counted,
)
from distillery.counts import (
    BOTTLED,
    BULK,
    FAR,
    OTHER,
    QUARTER,
    Counted,
    compare,
)
from distillery.forms import (
    ChoiceField,
    DayField,
    LotField,
    QuantityField,
    RecordForm,
    RowsField,
    TextField,
    VesselField,
    WhenField,
    YesField,
)
from distillery.forms.gauge import GaugePart
from distillery.models import OpenCount
from distillery.operations.base import Fields, Operation
from distillery.plans import loss_or_gain, pg, place, slip
from ledger.gauging import GaugingError
from ledger.looking import Look
from ledger.models import Entry, Premises
from ledger.plan import Leg, Place, Plan, Slip

KINDS = [
    (QUARTER, "quarter's inventory of tanks"),  # 27 CFR 19.312, 19.333, 19.371
    (BOTTLED, "half-yearly inventory of bottled goods"),  # 27 CFR 19.372
    (OTHER, "any other count"),
]
# The wording is prescribed by 27 CFR 19.45; 27 CFR 19.623 asks for it on an inventory.
STATEMENT = (
    "I declare under the penalties of perjury that this inventory, including supporting "
    "documents, has been examined by me and, to the best of my knowledge and belief, is true, "
    "correct, and complete."
)


class CountPart(GaugePart):
    """One vessel, or one lot in it, and what was found: a gauge, bottles, a quantity, nothing."""

    vessel = VesselField(label="Vessel")
    lot = LotField(required=False, label="Lot, if the vessel holds several")
    bottles = QuantityField("count", required=False, label="Bottles")
    quantity = TextField(label="Quantity of a material or wash, like 1,900 lb")
    as_book = YesField(label="There, as the book says")
    empty = YesField(label="Empty or missing")
    counted_at = WhenField(required=False, label="When it was counted, if on an earlier visit")

    field_order = ("vessel", "lot", "bottles", "quantity", "as_book", "empty", "counted_at")

    def clean(self) -> dict[str, Any]:
        """Exactly one way of counting; a gauge is worked out here."""
        data = self.cleaned_data
        data["gauge"] = None
        if self.errors:
            return data
        ways = [data["bottles"] is not None, *map(bool, (data["quantity"], data["as_book"]))]
        ways += [data["empty"], self.is_gauged]
        if sum(ways) != 1:
            raise ValidationError(
                "Say one of: a gauge, bottles, a quantity, as the book says, or empty."
            )
        if ways[-1]:
            data = super().clean()
            if not self.errors:
                data["gauge"] = self._worked_out()
        return data

    def _worked_out(self) -> Any:
        try:
            return self.gauge("0.01")
        except GaugingError as error:
            raise ValidationError(str(error)) from error


class CountForm(RecordForm):
    """What was counted, for which day, and by whom (27 CFR 19.623)."""

    kind = ChoiceField(choices=KINDS, label="Kind of count")
    as_of = DayField(label="Stands for the end of the day")
    count_number = QuantityField("count", required=False, label="Number of the walked count")
    rows = RowsField(CountPart, most=500, label="Counted")
    counter = TextField(max_length=120, label="Counted by")
    counter_title = TextField(max_length=120, label="Title of the counter")
    statement = YesField(label=STATEMENT)

    def clean(self) -> dict[str, Any]:
        """An inventory of the law is signed, with name and title (27 CFR 19.45, 19.623)."""
        data = super().clean() or {}
        if self.errors:
            return data
        day = data["at"].astimezone(self.premises.zone).date()
        if data["as_of"] and abs(data["as_of"] - day) > FAR:
            raise ValidationError({"as_of": "A count stands for a day within a month of it."})
        if data["kind"] != OTHER:
            for name, words in (
                ("counter", "Name the counter (27 CFR 19.623)."),
                ("counter_title", "Give the counter's title (27 CFR 19.45)."),
                ("statement", "The inventory is signed with this statement (27 CFR 19.45)."),
            ):
                if not data[name]:
                    self.add_error(name, words)
        return data


class Count(Operation):
    """Each difference is a movement of its own; a count without any is an entry all the same."""

    slug = "count"
    title = "Count"
    group = "Count and correct"
    form = CountForm
    hazards = ("ethanol_vapour",)

    def plan(self, fields: Fields, look: Look) -> Plan:
        """Gains, losses and shortages that bring the book to what was counted."""
        counted = compare(fields["rows"], look)
        legs = tuple(leg for one in counted for leg in settled(one))
        lines = [" ".join(filter(None, (one.told(), consequence(one)))) for one in counted]
        lines += for_its_day(fields, counted, look) + no_notice(fields, look)
        short = sum(leg.proof_gallons for leg in legs if leg.to.account == "shortage")
        if short:
            lines.append(f"Bottles not explained: {pg(short)}, on which tax is due (19.465).")
        if not legs:
            lines.append("The book and the count agree.")
        return Plan(
            legs, slips=tuple(slips(fields["rows"])), lines=tuple(lines),
            questions=(
                *far_off(counted), *not_counted(fields["kind"], counted, look),
                *far_from_day(fields, look),
            ),
        )  # fmt: skip

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """The walked count is signed by this entry."""
        _walked(entry, fields["count_number"]).update(closed_by=entry)

    def taken_back(self, entry: Entry) -> None:
        """The walked count is open again, with all that was found."""
        OpenCount.objects.filter(closed_by=entry).update(closed_by=None)


def _walked(entry: Entry, number: Decimal | None) -> "QuerySet[OpenCount]":
    rows = OpenCount.objects.filter(premises=entry.premises, closed_by=None, is_dropped=False)
    return rows.filter(number=int(number)) if number else rows.none()


def settled(one: Counted) -> tuple[Leg, ...]:
    """The legs that bring one holding to what was found; bottles short are a shortage."""
    at, (amount, wine, proof) = place(one.held), one.difference
    if one.held.account in BULK:
        return loss_or_gain(at, wine=wine, proof=proof, purpose="count")
    to = {"finished": "shortage", "taxpaid": "taxpaid_loss"}.get(one.held.account, "loss")
    less = (max(0, -amount), max(0, -wine), max(0, -proof))
    more = (max(0, amount), max(0, wine), max(0, proof))
    legs = []
    if any(less):
        legs.append(Leg(at, Place(to, at.lot), "count", *less))
    if any(more):
        legs.append(Leg(Place("gain", at.lot), at, "count", *more))
    return tuple(legs)


def slips(rows: Iterable[dict[str, Any]]) -> list[Slip]:
    """How each gauged row was found."""
    return [slip(row["gauge"], row["vessel"].code) for row in rows if row["gauge"]]


def counted_in(entry: Entry) -> list[Counted]:
    """What a posted count found, row by row, from its form; ``book`` is as the count left it.

    Rows that found nothing are left out.
    """
    premises: Premises = entry.premises
    values = loads(entry.form)
    fields = {name: values[name] for name in CountForm.base_fields if name in values}
    form = CountForm(fields, premises=premises)
    if not form.is_valid():
        raise ValueError(f"Count {entry.number} does not read back: {form.errors.as_text()}")
    # A row of an earlier visit was carried on to the posting: the book now says what was found.
    rows = [
        {**row, "counted_at": None, "as_book": True} if row["counted_at"] else row
        for row in form.cleaned_data["rows"] if not row["empty"]
    ]  # fmt: skip
    return compare(rows, Look(premises, entry.happened_at))
