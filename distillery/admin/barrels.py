"""A form that makes many barrels alike."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import QuerySet

from distillery.models import Barrel, VesselSheet
from ledger.models import Premises, Vessel
from ledger.models.things import CODE

MOST = 500


class BarrelsForm(forms.Form):
    """Codes are the prefix and a number: BR- and 001 make BR-001, BR-002 and so on."""

    premises = forms.ModelChoiceField(Premises.objects.none(), label="Premises", empty_label=None)
    code_prefix = forms.CharField(max_length=30, required=False, label="Prefix, like BR-")
    first = forms.RegexField(
        r"^\d{1,8}\Z", label="First number, like 001",
        error_messages={"invalid": "Give digits, like 001."},
    )  # fmt: skip
    count = forms.IntegerField(min_value=1, max_value=MOST, label="How many")
    rated_gal = forms.DecimalField(
        min_value=1, max_digits=6, decimal_places=2, label="Rated capacity, gallons"
    )
    cooperage = forms.ChoiceField(choices=Barrel.Cooperage.choices, label="Cooperage")
    tare_lb = forms.DecimalField(
        min_value=0, max_digits=7, decimal_places=2, required=False, label="Empty weight, pounds"
    )
    was_filled_before = forms.BooleanField(
        required=False, label="They held spirits before they came here"
    )
    room = forms.CharField(max_length=60, required=False, label="Room")

    def __init__(self, *args: Any, plants: QuerySet[Premises], **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["premises"].queryset = plants  # type: ignore[attr-defined]
        self.fields["premises"].initial = plants.first()

    def codes(self) -> list[str]:
        """The codes of the new barrels."""
        data = self.cleaned_data
        width, start = len(data["first"]), int(data["first"])
        numbers = range(start, start + data["count"])
        return [f"{data['code_prefix']}{number:0{width}}" for number in numbers]

    def clean(self) -> dict[str, Any]:
        """Every code fits and is free."""
        data = super().clean() or {}
        if self.errors:
            return data
        codes = self.codes()
        try:
            CODE(codes[-1])
        except ValidationError as error:
            raise ValidationError({"code_prefix": error.messages}) from error
        taken = Vessel.objects.filter(premises=data["premises"], code__in=codes)
        if first := taken.order_by("code").first():
            raise ValidationError({"first": f"There is already a vessel “{first}”."})
        return data

    def save(self) -> list[Vessel]:
        """The barrels with their sheets and cooperage, all or none."""
        data = self.cleaned_data
        alike = {
            name: data[name] for name in ("rated_gal", "cooperage", "tare_lb", "was_filled_before")
        }
        with transaction.atomic():
            made = Vessel.objects.bulk_create(
                Vessel(premises=data["premises"], code=code, kind="barrel") for code in self.codes()
            )
            VesselSheet.objects.bulk_create(
                VesselSheet(vessel=vessel, room=data["room"], capacity_gal=data["rated_gal"])
                for vessel in made
            )
            Barrel.objects.bulk_create(Barrel(vessel=vessel, **alike) for vessel in made)
        return made
