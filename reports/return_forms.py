"""Forms of the tax return: an adjustment that a person enters, and a prepayment."""

from decimal import Decimal
from typing import Any

from django import forms

from reports.models import Adjustment

_MONEY: dict[str, Any] = {
    "max_digits": 12,
    "decimal_places": 2,
    "min_value": Decimal(0),
    "error_messages": {"invalid": "Give dollars and cents, like 173.34."},
}


class AdjustmentForm(forms.ModelForm):
    """An entry of Schedule A or B."""

    tax = forms.DecimalField(label="Tax, $", **_MONEY)
    interest = forms.DecimalField(label="Interest, $", required=False, **_MONEY)
    penalty = forms.DecimalField(label="Penalty, $", required=False, **_MONEY)

    class Meta:
        model = Adjustment
        fields = ("schedule", "found_on", "explanation", "claim", "tax", "interest", "penalty")
        widgets = {"found_on": forms.DateInput(attrs={"type": "date"})}
        help_texts = {
            "found_on": "it goes on the return of this day",
            "claim": "an approved claim carries its number",
        }
        error_messages = {
            "found_on": {"invalid": "Give the day like 2026-04-10."},
            "explanation": {"required": "Say what it is for; TTB reads it first."},
        }

    def clean(self) -> dict[str, Any]:
        """Amounts left empty are zero; Schedule B takes no penalty."""
        data = super().clean() or {}
        for name in ("interest", "penalty"):
            data[name] = data.get(name) or Decimal(0)
        if self.errors:
            return data
        if not (data["tax"] or data["interest"] or data["penalty"]):
            self.add_error("tax", "Give an amount.")
        if data["schedule"] == Adjustment.Schedule.DECREASING and data["penalty"]:
            self.add_error("penalty", "Schedule B has no column for a penalty.")
        return data


class PrepaymentForm(forms.Form):
    """Which removals a prepayment return pays for."""

    documents = forms.MultipleChoiceField(
        label="Documents it pays for",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose the documents it pays for."},
    )
    paid_at = forms.DateTimeField(
        label="Paid at",
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}),
        error_messages={"invalid": "Give day and time like 2026-04-10 14:30."},
    )
    confirmation = forms.CharField(label="Confirmation number", max_length=80, required=False)

    def __init__(self, *args: Any, documents: list[tuple[str, str]], **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["documents"].choices = documents  # type: ignore[attr-defined]
