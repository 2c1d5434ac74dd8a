"""Clean a vessel and say whether it is ready: a record without movement."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.forms import (
    Part,
    QuantityField,
    RecordForm,
    RowsField,
    TextField,
    VesselField,
    YesField,
)
from distillery.models import Remark
from distillery.operations.base import Fields, Operation
from distillery.remarks import note, take_back
from ledger.looking import Look
from ledger.models import Entry
from ledger.plan import Plan, Question


class StepPart(Part):
    """One step of the cleaning: rinse, caustic, acid, sanitizer."""

    what = TextField(required=True, max_length=60, label="Step, like caustic or rinse")
    strength = TextField(max_length=60, label="Strength, and lot of the chemical")
    temperature = QuantityField("temperature", required=False, label="Temperature")
    minutes = QuantityField("time", required=False, label="Minutes")


class CleanVesselForm(RecordForm):
    """Which vessel, how it was cleaned, who looked, and whether anybody went in."""

    vessel = VesselField(label="Vessel")
    steps = RowsField(StepPart, required=False, label="Steps")
    rinse_ph = TextField(max_length=20, label="pH of the last rinse, or strip")
    inspected_by = TextField(max_length=120, label="Looked over by")
    is_ready = YesField(label="Clean and ready for use")
    entered = YesField(label="Somebody went in")
    permit = TextField(max_length=60, label="Entry permit number")
    attendant = TextField(max_length=120, label="Attendant outside")
    air = TextField(max_length=120, label="Air readings: oxygen, flammables, carbon dioxide")

    def clean(self) -> dict[str, Any]:
        """A cleaning says what was done, or that the vessel is ready."""
        data = super().clean() or {}
        if not self.errors and not data["steps"] and not data["is_ready"] and not data["note"]:
            raise ValidationError({"steps": "Tell what was done, or that it is ready."})
        return data


class CleanVessel(Operation):
    """Shown on the floor until something is put into the vessel."""

    slug = "clean-vessel"
    title = "Clean a vessel"
    group = "Materials and mash"
    form = CleanVesselForm
    hazards = ("cleaning", "confined_space", "co2")
    kinds = ("tun", "fermenter", "still", "receiver", "tank", "tote", "bottling_tank")
    accounts = ("",)
    vessel_field = "vessel"
    is_rare = True

    def plan(self, fields: Fields, look: Any) -> Plan:
        """No movement; asks about an entry without its permit, and a vessel that is not empty."""
        return Plan(lines=(_told(fields),), questions=(*_entry(fields), *_full(fields, look)))

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """A remark on the vessel's page and card."""
        kind = Remark.Kind.CLEAN if fields["is_ready"] else Remark.Kind.NOT_READY
        note(entry, kind, _told(fields), vessel=fields["vessel"])

    def taken_back(self, entry: Entry) -> None:
        """The remark is void."""
        take_back(entry)


def _told(fields: Fields) -> str:
    steps = ", ".join(
        " ".join(word for word in (step["what"], step["strength"]) if word)
        for step in fields["steps"]
    )
    words = [steps or "no step noted"]
    if fields["rinse_ph"]:
        words.append(f"last rinse {fields['rinse_ph']}")
    if fields["inspected_by"]:
        words.append(f"looked over by {fields['inspected_by']}")
    return f"{fields['vessel'].code} cleaned: {'; '.join(words)}."


def _entry(fields: Fields) -> tuple[Question, ...]:
    """A tank is a confined space; many are permit spaces (29 CFR 1910.146)."""
    missing = [
        words
        for name, words in (
            ("permit", "permit"), ("attendant", "attendant"), ("air", "air readings"),
        )
        if not fields[name]
    ]  # fmt: skip
    if not fields["entered"] or not missing:
        return ()
    text = (
        f"Somebody went into {fields['vessel'].code}, and no {' or '.join(missing)} stands here. "
        "Entry into a permit space is by permit, with an attendant and tested air (29 CFR "
        "1910.146). Keep it so?"
    )
    return (Question("entry-permit", text),)


def _full(fields: Fields, look: Look) -> tuple[Question, ...]:
    """Asks when the book has something in the vessel that was cleaned."""
    held = look(fields["vessel"].code)
    if not held:
        return ()
    text = (
        f"By the book {fields['vessel'].code} holds {held[0].lot.code}. Was it cleaned with that "
        "in it, or is a record missing?"
    )
    return (Question("not-empty", text),)
