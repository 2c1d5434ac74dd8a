"""A reading of a running still, and the cut that is made with it: plotted, never in the book."""

from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from distillery.forms import ChoiceField, QuantityField, RecordForm, VesselField
from distillery.forms.gauge_quantity import OFF_THE_TABLES, is_off_the_tables
from distillery.models import Reading, StillReading
from distillery.operations.base import Fields, Operation
from distillery.runs import FRACTIONS
from ledger.errors import FutureDate, KeyConflict
from ledger.gauging import GaugingError, true_proof
from ledger.looking import Look
from ledger.models import Lot, Premises, Vessel
from ledger.plan import Plan, Question
from ledger.posting import AHEAD

CUTS = [("", "no cut"), *((word, word) for word in FRACTIONS)]
FIGURES = ("temperature", "condenser", "reading", "proof", "rate", "level", "cut", "note")
LONGEST_NOTE = 400
HOTTEST_F = Decimal(212)  # water boils so at sea level: a head above it is read wrong
# A mixture of alcohol and water boils without parting at 97.2 % by volume: 194.4 proof.
STRONGEST = Decimal("194.4")
WARM_CONDENSER_F = Decimal(150)  # our own figure: so warm, the coolant hardly runs


class StillReadingForm(RecordForm):
    """What was read; at least one figure, a cut or a note."""

    still = VesselField("still", label="Still")
    temperature = QuantityField("temperature", required=False, label="Head temperature")
    reading = QuantityField("proof", required=False, label="Hydrometer")
    reading_temperature = QuantityField(
        "temperature", required=False, label="Temperature at the hydrometer"
    )
    condenser = QuantityField("temperature", required=False, label="Condenser water out")
    rate = QuantityField("volume", required=False, label="Flow in an hour")
    receiver = VesselField("receiver", "tank", "tote", required=False, label="Running into")
    level = QuantityField("volume", required=False, label="Gallons in it now")
    cut = ChoiceField(choices=CUTS, required=False, label="Cut: from here on")
    proof = QuantityField("proof", required=False, label="Proof at 60 °F, if already corrected")

    def clean(self) -> dict[str, Any]:
        """Something was read; ``found`` is the true proof by 27 CFR 30.23, or None."""
        data = super().clean() or {}
        if self.errors:
            return data
        if all(data.get(name) in (None, "") for name in FIGURES):
            raise ValidationError("Give a temperature, a hydrometer reading, a cut or a note.")
        if data["level"] is not None and data["receiver"] is None:
            raise ValidationError({"receiver": "Say which receiver holds that."})
        data["found"] = self._found(data)
        return data

    def _found(self, data: dict[str, Any]) -> Decimal | None:
        reading, warmth = data["reading"], data["reading_temperature"]
        if reading is None:
            return data["proof"]
        if data["proof"] is not None:
            raise ValidationError({"proof": "Give either the proof or the hydrometer reading."})
        if warmth is None:
            raise ValidationError({"reading_temperature": "Give the temperature read, like 68 F."})
        if is_off_the_tables(warmth):
            raise ValidationError({"reading_temperature": OFF_THE_TABLES})
        try:
            return true_proof(reading, warmth)
        except GaugingError as error:
            raise ValidationError({"reading": str(error)}) from error


class StillReadingAct(Operation):
    """Head, condenser, strength, flow and level of a running still: kept once under its key."""

    slug = "still-reading"
    title = "Note a still reading"
    group = "Distil"
    form = StillReadingForm
    hazards = ("running",)
    kinds = ("still",)
    accounts = ("production", "processing")
    vessel_field = "still"
    is_book = False

    def plan(self, fields: Fields, look: Any) -> Plan:
        """Nothing moves; unlikely figures are asked about."""
        if fields["at"] > timezone.now() + AHEAD:
            raise FutureDate(
                "That lies in the future. Only what was read can be noted.", field="at"
            )
        run = run_of(look, fields["still"])
        return Plan(
            questions=(*_no_run(fields, run), *_odd(fields), *_full(fields), *_same(fields, run))
        )

    def keep_reading(
        self, fields: Fields, *, premises: Premises, by: str, key: str, form: str
    ) -> tuple[Reading, bool]:
        """The reading and whether it is new. Raises KeyConflict for a key used otherwise."""
        # The plant's row as it is now: a file of records holds one from before its first line.
        fresh = Premises.objects.get(pk=premises.pk)
        values = {
            "vessel": fields["still"], "lot": run_of(Look(fresh, fields["at"]), fields["still"]),
            "at": fields["at"], "by": by, "temperature_f": fields["temperature"],
            "proof": fields["found"], "note": _words(fields), "form": form,
        }  # fmt: skip
        with transaction.atomic():
            row, is_new = Reading.objects.get_or_create(premises=premises, key=key, defaults=values)
            if is_new:
                StillReading.objects.create(reading=row, **_beside(fields))
        if not is_new and row.form != form:
            raise KeyConflict(
                f"The key “{key}” was used for another reading of {row.vessel}. "
                "Give this record a key of its own."
            )
        return row, is_new


def run_of(look: Look, still: Vessel) -> Lot | None:
    """The run that stands in *still* at that moment, if any."""
    return next((held.lot for held in look(still.code) if held.lot.stage == "run"), None)


def _words(fields: Fields) -> str:
    """The note, led by the cut, as the records print it."""
    cut = f"Cut: {fields['cut']}" if fields["cut"] else ""
    return ". ".join(part for part in (cut, fields["note"]) if part)[:LONGEST_NOTE]


def _beside(fields: Fields) -> dict[str, Any]:
    return {
        "condenser_f": fields["condenser"], "hydrometer": fields["reading"],
        "hydrometer_f": fields["reading_temperature"], "rate_gal_h": fields["rate"],
        "receiver": fields["receiver"], "level_gal": fields["level"], "cut": fields["cut"],
    }  # fmt: skip


def _no_run(fields: Fields, run: Lot | None) -> tuple[Question, ...]:
    if run is not None:
        return ()
    text = f"No run stands in {fields['still'].code} by the book at that time. Keep it?"
    return (Question("no-run", text),)


def _odd(fields: Fields) -> tuple[Question, ...]:
    """Questions about figures that hardly a still shows."""
    asked, head, condenser = [], fields["temperature"], fields["condenser"]
    if head is not None and head > HOTTEST_F:
        text = f"A head is at 212 °F at most; this is {head:.1f} °F: keep?"
        asked.append(Question("odd-temperature", text))
    if condenser is not None and condenser > WARM_CONDENSER_F:
        text = f"The condenser is at {condenser:.1f} °F. Does the coolant run? Keep the figure?"
        asked.append(Question("warm-condenser", text))
    if fields["found"] is not None and fields["found"] > STRONGEST:
        text = f"No still goes above {STRONGEST} proof; this is {fields['found']:.1f}: keep?"
        asked.append(Question("odd-proof", text))
    return tuple(asked)


def _full(fields: Fields) -> tuple[Question, ...]:
    receiver, level = fields["receiver"], fields["level"]
    size = getattr(getattr(receiver, "sheet", None), "capacity_gal", None)
    if level is None or size is None or level <= size:
        return ()
    return (Question("over-full", f"{receiver.code} holds {size} gal; this is {level}: keep?"),)


def _same(fields: Fields, run: Lot | None) -> tuple[Question, ...]:
    """A question when that fraction runs already: another tablet may have noted the cut."""
    if not fields["cut"] or run is None:
        return ()
    rows = StillReading.objects.filter(
        reading__lot=run,
        reading__at__lte=fields["at"],
        reading__vessel=fields["still"],
        reading__void=None,
    ).exclude(cut="")
    last = rows.select_related("reading").order_by("-reading__at", "-pk").first()
    if last is None or last.cut != fields["cut"]:
        return ()
    at = last.reading.at.astimezone(fields["still"].premises.zone)
    text = f"{fields['cut'].capitalize()} run since {at:%H:%M}, noted by {last.reading.by}. Again?"
    return (Question("same-cut", text),)
