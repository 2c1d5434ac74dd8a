"""A physical count: what stands in the vessels against what the book has."""

from collections.abc import Iterable
from json import loads
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from distillery.counts import (
    BOTTLED,
    BULK,
    FAR,
    OTHER,
    QUARTER,
    Counted,
    compare,
    left_out,
)
from distillery.forms import (
    ChoiceField,
    LotField,
    QuantityField,
    RecordForm,
    RowsField,
    TextField,
    VesselField,
    YesField,
)
from distillery.forms.gauge import GaugePart
from distillery.operations.base import Fields, Operation
from distillery.plans import loss_or_gain, pg, place, slip
from ledger.gauging import GaugingError
from ledger.looking import Held, Look
from ledger.models import Entry, Holding, Premises
from ledger.models.book import LIVE
from ledger.plan import Leg, Place, Plan, Question, Slip

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
FAR_OFF = 10  # a difference of over a tenth of the holding and a proof gallon: our own figure


class CountPart(GaugePart):
    """One vessel, or one lot in it, and what was found: a gauge, bottles, a quantity, nothing."""

    vessel = VesselField(label="Vessel")
    lot = LotField(required=False, label="Lot, if the vessel holds several")
    bottles = QuantityField("count", required=False, label="Bottles")
    quantity = TextField(label="Quantity of a material or wash, like 1,900 lb")
    as_book = YesField(label="There, as the book says")
    empty = YesField(label="Empty or missing")

    field_order = ("vessel", "lot", "bottles", "quantity", "as_book", "empty")

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
    as_of = forms.DateField(
        required=False, input_formats=["%Y-%m-%d"], label="Stands for the end of the day",
        error_messages={"invalid": "Give the day like 2026-06-30."},
    )  # fmt: skip
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
        lines = [one.told() for one in counted]
        short = sum(leg.proof_gallons for leg in legs if leg.to.account == "shortage")
        if short:
            lines.append(f"Bottles not explained: {pg(short)}, on which tax is due (19.465).")
        if not legs:
            lines.append("The book and the count agree.")
        return Plan(
            legs, slips=tuple(slips(fields["rows"])), lines=tuple(lines),
            questions=far_off(counted) + not_counted(fields["kind"], counted, look),
        )  # fmt: skip


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


def far_off(counted: Iterable[Counted]) -> tuple[Question, ...]:
    """Asks when a count is so far from the book that it may be a slip of the pen."""
    told = [
        one.told() for one in counted if abs(one.difference[2]) > max(100, one.book[2] // FAR_OFF)
    ]
    if not told:
        return ()
    return (Question("far-from-the-book", f"{' '.join(told)} Is that what was found?"),)


def not_counted(kind: str, counted: list[Counted], look: Look) -> tuple[Question, ...]:
    """Asks when an inventory of the law leaves something out that the book has.

    Tanks and other bulk but no packages (27 CFR 19.312, 19.333, 19.371), or all that is bottled
    (27 CFR 19.372).
    """
    if kind == OTHER:
        return ()
    missing = left_out(counted, expected(kind, look))
    if not missing:
        return ()
    text = f"The book also has something in {', '.join(missing)}. Leave it out of this count?"
    return (Question("left-out", text),)


def expected(kind: str, look: Look) -> list[Held]:
    """What the book had that an inventory of this kind is about."""
    accounts = BULK if kind == QUARTER else ("finished",)
    rows = Holding.objects.filter(LIVE, premises=look.premises, account__in=accounts)
    if kind == QUARTER:
        rows = rows.exclude(vessel__kind="barrel")
    codes = sorted(set(rows.values_list("vessel__code", flat=True)))
    return [held for held in look(*codes) if held.account in accounts] if codes else []


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
    rows = [row for row in form.cleaned_data["rows"] if not row["empty"]]
    return compare(rows, Look(premises, entry.happened_at))
