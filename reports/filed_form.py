"""The form by which a report or a return is marked as filed."""

from typing import Any

from django import forms

from reports.models import Filed
from reports.told import Told


class FiledForm(forms.Form):
    """The day, by whom, how, and the confirmation the portal gave."""

    filed_on = forms.DateField(
        label="Filed on",
        widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={
            "required": "Give the day it was handed in.",
            "invalid": "Give the day like 2026-04-10.",
        },
    )
    filed_by = forms.CharField(
        label="Filed by", max_length=150, error_messages={"required": "Say who filed it."}
    )
    how = forms.ChoiceField(
        label="How",
        choices=Filed.How.choices,
        error_messages={"required": "Choose how it was filed.", "invalid_choice": "Choose one."},
    )
    confirmation = forms.CharField(
        label="Confirmation number", max_length=80, required=False,
        help_text="as the portal gave it",
    )  # fmt: skip
    note = forms.CharField(label="Note", max_length=400, required=False)

    def told(self) -> Told:
        """What was filled in; only after ``is_valid``."""
        return Told(**self.cleaned_data)

    def refuse(self, error: Any) -> None:
        """Put a refusal beside the field it is about, or above all."""
        field = error.field if error.field in self.fields else None
        self.add_error(field, str(error))
