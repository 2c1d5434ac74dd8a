"""Receive empty barrels: numbers, cooper, size, weight, wood, and what they held before."""

from typing import Any

from django.core.exceptions import ValidationError
from django.db.models import Q

from distillery import barrel_life
from distillery.barrel_life import Kind
from distillery.forms import ChoiceField, Part, QuantityField, RecordForm, RowsField, TextField
from distillery.forms.barrels_field import CodesField
from distillery.models import Barrel, BarrelAct, VesselSheet
from distillery.operations.base import Fields, Operation
from distillery.packages import NEVER_FILLED
from ledger.models import Entry, Movement, Premises, Vessel
from ledger.plan import Plan, Question

MOST_GALLONS, MOST_POUNDS = 1000, 5000


class WeighedPart(Part):
    """A barrel with an empty weight of its own."""

    code = TextField(required=True, max_length=40, label="Barrel")
    tare = QuantityField("weight", above=1, label="Empty weight")


class ReceiveBarrelsForm(RecordForm):
    """Barrels alike; each has its own weight where it was weighed."""

    barrels = CodesField(label="Their numbers, like B-101..B-112")
    cooper = TextField(required=True, max_length=120, label="Cooper or supplier")
    rated = QuantityField("volume", above=1, label="Rated capacity, gallons")
    cooperage = ChoiceField(choices=Barrel.Cooperage.choices, label="Cooperage")
    held_before = TextField(max_length=120, label="What they held before, if anything")
    tare = QuantityField("weight", required=False, above=1, label="Empty weight of each")
    weights = RowsField(WeighedPart, required=False, label="Or the weight of each one")
    document = TextField(max_length=60, label="Invoice or delivery note")
    place = TextField(max_length=60, label="Where they stand")

    def clean(self) -> dict[str, Any]:
        """Numbers that are free, and weights of these barrels only."""
        data = super().clean() or {}
        if self.errors:
            return data
        _refuse_taken(listed(self.premises, data["barrels"]))
        strange = [row["code"] for row in data["weights"] if row["code"] not in data["barrels"]]
        if strange:
            raise ValidationError({"weights": f"{strange[0]} is none of these barrels."})
        if data["rated"] >= MOST_GALLONS:
            raise ValidationError({"rated": "A barrel of that size is a tank. Add it under Plant."})
        if any((tare or 0) >= MOST_POUNDS for tare in _tares(data)):
            raise ValidationError({"tare": "No barrel weighs that much empty."})
        return data


def listed(premises: Premises, codes: list[str]) -> list[Vessel]:
    """The plant's vessels of these codes, however they are written."""
    wanted = {code.casefold() for code in codes}
    rows = Vessel.objects.filter(premises=premises).order_by("code")
    return [one for one in rows if one.code.casefold() in wanted]


def _refuse_taken(vessels: list[Vessel]) -> None:
    """A tank has that code, or a barrel that was filled; one only listed may come by this record.

    Raises ValidationError.
    """
    used = Movement.objects.filter(Q(from_vessel__in=vessels) | Q(to_vessel__in=vessels))
    filled = {pk for pair in used.values_list("from_vessel", "to_vessel") for pk in pair}
    for one in vessels:
        if one.kind != Vessel.Kind.BARREL or one.pk in filled:
            raise ValidationError({"barrels": f"There is already a vessel “{one.code}”."})


def _tares(data: dict[str, Any]) -> list[Any]:
    return [data["tare"], *(row["tare"] for row in data["weights"])]


class ReceiveBarrels(Operation):
    """New vessels for the plant's list; the book itself moves when they are filled."""

    slug = "receive-barrels"
    title = "Receive empty barrels"
    group = "Store"
    form = ReceiveBarrelsForm
    hazards = ("barrels", "lifting")

    def plan(self, fields: Fields, look: Any) -> Plan:
        """A line that tells them."""
        codes = fields["barrels"]
        before = f", held {fields['held_before']} before" if fields["held_before"] else ""
        wood = dict(Barrel.Cooperage.choices)[fields["cooperage"]]
        size = f"{fields['rated']:f} gal"
        line = f"{', '.join(codes)} from {fields['cooper']}: {size}, {wood}{before}."
        known = ", ".join(one.code for one in listed(look.premises, codes))
        text = f"{known} stand on the plant's list, never filled. Do they come by this record?"
        asked = (Question("barrel-listed", text),) if known else ()
        return Plan(document=fields["document"], lines=(line,), questions=asked)

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """The vessels with their sheets, and that they came."""
        own = {row["code"]: row["tare"] for row in fields["weights"]}
        rated, before = fields["rated"], fields["held_before"]
        was_filled = bool(before) or fields["cooperage"] not in NEVER_FILLED
        known = {one.code.casefold(): one for one in listed(entry.premises, fields["barrels"])}
        rows = []
        for code in fields["barrels"]:
            vessel = known.get(code.casefold()) or Vessel.objects.create(
                premises=entry.premises, code=code, kind=Vessel.Kind.BARREL
            )
            tare = own.get(code, fields["tare"])
            VesselSheet.objects.update_or_create(
                vessel=vessel, defaults={"room": fields["place"], "capacity_gal": rated}
            )
            told = {
                "rated_gal": rated, "cooperage": fields["cooperage"], "tare_lb": tare,
                "cooper": fields["cooper"], "held_before": before,
                "was_filled_before": was_filled, "is_gone": False,
            }  # fmt: skip
            Barrel.objects.update_or_create(vessel=vessel, defaults=told)
            facts = {"tare_lb": tare, "place": fields["place"]}
            rows.append((vessel, {**facts, "words": f"from {fields['cooper']}"}))
        barrel_life.note_each(entry, Kind.RECEIVED, rows)

    def taken_back(self, entry: Entry) -> None:
        """They never came: an unused one leaves the list, a used one is marked as gone.

        What came by another record since is left alone.
        """
        came = BarrelAct.objects.filter(entry=entry).select_related("vessel")
        vessels = [act.vessel for act in came]
        barrel_life.take_back(entry)
        for vessel in vessels:
            acts = BarrelAct.objects.filter(vessel=vessel)
            if acts.filter(kind=Kind.RECEIVED, is_void=False).exists():
                continue
            is_used = Movement.objects.filter(Q(from_vessel=vessel) | Q(to_vessel=vessel)).exists()
            if is_used or acts.exclude(entry=entry).exists():
                Barrel.objects.filter(vessel=vessel).update(is_gone=True)
                continue
            acts.delete()
            vessel.delete()
