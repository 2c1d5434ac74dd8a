"""A reading of a ferment: small, plotted, never part of the book."""

from decimal import Decimal
from functools import partial
from typing import Any

from django.core.exceptions import ValidationError
from django.utils import timezone

from distillery.forms import QuantityField, RecordForm, TextField, VesselField
from distillery.models import Reading
from distillery.operations.base import Fields, Operation
from distillery.shown_in import gravity_words, shown_in
from ledger.errors import FutureDate, KeyConflict
from ledger.gauging import half_up
from ledger.looking import Look
from ledger.models import Premises, Vessel
from ledger.plan import Plan, Question
from ledger.posting import AHEAD

FIGURES = ("gravity", "temperature", "ph")
LIKELY_GRAVITY = (Decimal("0.980"), Decimal("1.150"))
LIKELY_F = (Decimal(50), Decimal(110))
LIKELY_PH = (Decimal(3), Decimal("6.5"))
WOBBLE = Decimal("0.002")  # two readings of one wash differ that much (common practice, no source)


class PhField(TextField):
    """A pH as a Decimal from 0 to 14."""

    def clean(self, value: Any) -> Any:
        """The Decimal with two places, or None. Raises ValidationError."""
        text = super().clean("" if value is None else str(value)).strip()
        if not text:
            return None
        try:
            number = Decimal(text)
        except ArithmeticError:
            number = Decimal("NaN")
        if not number.is_finite() or not 0 <= number <= 14:
            raise ValidationError("A pH goes from 0 to 14; give it like 4.8.")
        return number.quantize(Decimal("0.01"))


class FermentReadingForm(RecordForm):
    """What was read; at least one figure or a note."""

    vessel = VesselField("fermenter", label="Fermenter")
    gravity = QuantityField("gravity", required=False, label="Gravity")
    temperature = QuantityField("temperature", required=False, label="Temperature")
    ph = PhField(label="pH")

    def clean(self) -> dict[str, Any]:
        """Something must have been read."""
        data = super().clean() or {}
        names = (*FIGURES, "note")
        if not self.errors and all(data.get(name) in (None, "") for name in names):
            raise ValidationError("Give a gravity, a temperature, a pH or a note.")
        return data


def _outside(value: Decimal | None, span: tuple[Decimal, Decimal]) -> bool:
    return value is not None and not span[0] <= value <= span[1]


def _gravity(vessel: Vessel, gravity: Decimal) -> str:
    """In the plant's unit: ``1.031``, or ``7.8 °Bx``."""
    return gravity_words(gravity, shown_in(vessel.premises).gravity, 3).removeprefix("SG ")


def _odd(fields: Fields) -> tuple[Question, ...]:
    """Questions about figures that few washes show."""
    asked = []
    if _outside(fields["gravity"], LIKELY_GRAVITY):
        told = partial(_gravity, fields["vessel"])
        low, high, now = map(told, (*LIKELY_GRAVITY, fields["gravity"]))
        text = f"A wash usually lies between {low} and {high}; this is {now}: keep?"
        asked.append(Question("odd-gravity", text))
    if _outside(fields["temperature"], LIKELY_F):
        text = f"A ferment is usually at 50 to 110 F; this is {fields['temperature']:.1f} F: keep?"
        asked.append(Question("odd-temperature", text))
    if _outside(fields["ph"], LIKELY_PH):
        asked.append(Question("odd-ph", f"pH is usually 3 to 6.5; this is {fields['ph']}: keep?"))
    return tuple(asked)


def _rising(fields: Fields, look: Look) -> tuple[Question, ...]:
    """A question when gravity went up since the last reading of the same wash."""
    now, held = fields["gravity"], look(fields["vessel"].code)
    if now is None or not held:
        return ()
    rows = Reading.objects.standing().filter(
        vessel=fields["vessel"], lot=held[0].lot, at__lt=fields["at"], gravity__isnull=False
    )
    last = rows.order_by("-at").first()
    if last is None or last.gravity is None or now <= last.gravity + WOBBLE:
        return ()
    before, after = (_gravity(fields["vessel"], one) for one in (last.gravity, now))
    text = f"Gravity usually falls; last {before}, now {after}: keep?"
    return (Question("gravity-rising", text),)


class FermentReading(Operation):
    """Gravity, temperature, pH: kept once under its key."""

    slug = "ferment-reading"
    title = "Note a reading"
    group = "Materials and mash"
    form = FermentReadingForm
    hazards = ("co2",)
    kinds = ("fermenter",)
    accounts = ("fermenting",)
    vessel_field = "vessel"
    is_book = False

    def plan(self, fields: Fields, look: Any) -> Plan:
        """Nothing moves; unlikely figures are asked about."""
        if fields["at"] > timezone.now() + AHEAD:
            raise FutureDate(
                "That lies in the future. Only what was read can be noted.", field="at"
            )
        return Plan(questions=(*_odd(fields), *_rising(fields, look)))

    def keep_reading(
        self, fields: Fields, *, premises: Premises, by: str, key: str, form: str
    ) -> tuple[Reading, bool]:
        """The reading and whether it is new. Raises KeyConflict for a key used otherwise."""
        # The plant's row as it is now: a file of records holds one from before its first line.
        fresh = Premises.objects.get(pk=premises.pk)
        held, gravity = Look(fresh, fields["at"])(fields["vessel"].code), fields["gravity"]
        values = {
            "vessel": fields["vessel"], "lot": held[0].lot if held else None, "at": fields["at"],
            "by": by, "gravity": gravity and half_up(gravity, "0.0001"),
            "temperature_f": fields["temperature"], "ph": fields["ph"], "note": fields["note"],
            "form": form,
        }  # fmt: skip
        row, is_new = Reading.objects.get_or_create(premises=premises, key=key, defaults=values)
        if not is_new and row.form != form:
            raise KeyConflict(
                f"The key “{key}” was used for another reading of {row.vessel}. "
                "Give this record a key of its own."
            )
        return row, is_new
