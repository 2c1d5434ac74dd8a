"""Forms of the credit for wine and flavor content: marking an ingredient, keeping a rate."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django import forms

from distillery.models import Product
from ledger.models import Lot, Movement, Premises
from ledger.posting import next_month
from reports.batch_content import FLAVOR, WINE, Contents
from reports.kept_rates import average, by_batch, keep, mixed_lots, standard
from reports.models import EffectiveRate, EligibleContent
from reports.rates import rates_on

METHOD = EffectiveRate.Method


class CreditForm(forms.Form):
    """A form of one plant; ``title`` heads its page.

    Each has ``write(by)``, which writes its one row once it is valid, and says what was done.
    """

    title = ""

    def __init__(self, *args: Any, premises: Premises, **options: Any) -> None:
        super().__init__(*args, **options)
        self.premises = premises


class MarkForm(CreditForm):
    """Whether a wine or flavor that went into a batch is eligible (26 U.S.C. 5010(c))."""

    title = "Mark a wine or flavor"
    lot = forms.ChoiceField(label="Lot of the wine or flavor")
    is_eligible = forms.TypedChoiceField(
        label="Is it eligible", choices=[("yes", "eligible"), ("no", "not eligible")],
        coerce=lambda text: text == "yes",
        help_text="still wine not made at a distilled spirits plant, or a flavor approved for "
        "drawback",
    )  # fmt: skip
    why = forms.CharField(
        label="Approval, or why", max_length=200,
        error_messages={"required": "Give the approval it rests on, or why it is not eligible."},
    )  # fmt: skip

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        rows = Movement.objects.filter(
            purpose__in=(FLAVOR, WINE), from_lot__premises=self.premises
        )  # fmt: skip
        lots = Lot.objects.filter(pk__in=rows.values("from_lot")).order_by("-pk")
        self.fields["lot"].choices = [  # type: ignore[attr-defined]
            (lot.code, f"{lot.code} {lot.name}") for lot in lots
        ]

    def write(self, by: str) -> str:
        """The mark."""
        EligibleContent.objects.create(
            premises=self.premises, marked_by=by, **self.cleaned_data
        )  # fmt: skip
        words = "eligible" if self.cleaned_data["is_eligible"] else "not eligible"
        return f"{self.cleaned_data['lot']} is marked as {words}."


class BatchForm(CreditForm):
    """The rate of one lot by its own batch (27 CFR 19.247)."""

    title = "Keep the rate of a batch"
    lot = forms.ChoiceField(
        label="Lot", help_text="the lot that is removed: of bottles, the bottled one"
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.lots = {lot.code: lot for lot in mixed_lots(self.premises)}
        self.fields["lot"].choices = [  # type: ignore[attr-defined]
            (code, f"{code} {lot.name}, {lot.stage}")
            for code, lot in sorted(self.lots.items(), key=lambda one: one[1].stage != "bottled")
        ]

    def write(self, by: str) -> str:
        """The rate, from the day its lot was opened."""
        lot = self.lots[self.cleaned_data["lot"]]
        day = lot.opened_by.happened_at.astimezone(self.premises.zone).date()
        worked = by_batch(Contents(self.premises).of(lot), rates_on(day).general)
        row = keep(self.premises, METHOD.BATCH, worked, effective=day, by=by, lot=lot.code)
        return f"{lot.code}: ${row.rate} a proof gallon is kept."


class ProductForm(CreditForm):
    """A rate of a product from a day on."""

    product = forms.ChoiceField(label="Product")

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["product"].choices = [  # type: ignore[attr-defined]
            (one.code, str(one)) for one in Product.objects.filter(premises=self.premises)
        ]


class StandardForm(ProductForm):
    """The standard rate: the greatest a product can have (27 CFR 19.248, 19.615)."""

    title = "Keep a standard rate"
    effective = forms.DateField(
        label="First day it applies", widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"invalid": "Give the day like 2026-04-10."},
    )  # fmt: skip
    least_flavor = forms.DecimalField(
        label="Least eligible flavor in a proof gallon, PG", min_value=Decimal(0),
        max_value=Decimal(1), decimal_places=6, help_text="at most 0.025 of it counts",
    )  # fmt: skip
    wine_gallons = forms.DecimalField(
        label="Least eligible wine in a proof gallon, gal", min_value=Decimal(0),
        max_value=Decimal(10), decimal_places=6, required=False,
    )  # fmt: skip
    wine_abv = forms.DecimalField(
        label="Alcohol of the wine, % by volume", min_value=Decimal(0), max_value=Decimal(24),
        decimal_places=1, required=False,
    )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        """All of it fits in a proof gallon."""
        data = super().clean() or {}
        if self.errors:
            return data
        try:
            self.worked = standard(
                least_flavor=data["least_flavor"],
                wine_gallons=data["wine_gallons"] or Decimal(0),
                wine_abv=data["wine_abv"] or Decimal(0),
                general=rates_on(data["effective"]).general,
            )
        except ValueError:
            self.add_error("wine_gallons", "Flavor and wine come to more than a proof gallon.")
        return data

    def write(self, by: str) -> str:
        """The rate, from its day on."""
        data = self.cleaned_data
        row = keep(
            self.premises, METHOD.STANDARD, self.worked, effective=data["effective"], by=by,
            product=data["product"],
        )  # fmt: skip
        return f"{row.product}: ${row.rate} a proof gallon from {row.effective} is kept."


class AverageForm(ProductForm):
    """The average rate of a product for one month (27 CFR 19.249, 19.613)."""

    title = "Keep an average rate"
    month = forms.DateField(
        label="A day of the month it is for", widget=forms.DateInput(attrs={"type": "date"}),
        help_text="worked out from the six months before",
        error_messages={"invalid": "Give a day like 2026-04-01."},
    )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        """Something was bottled in the six months before."""
        data = super().clean() or {}
        if self.errors:
            return data
        self.first: date = data["month"].replace(day=1)
        self.worked = average(self.premises, data["product"], self.first)
        if self.worked is None:
            self.add_error("month", "None of it with eligible wine or flavor was bottled before.")
        return data

    def write(self, by: str) -> str:
        """The rate of the month."""
        assert self.worked is not None  # noqa: S101  # clean refuses otherwise
        row = keep(
            self.premises, METHOD.AVERAGE, self.worked, effective=self.first,
            until=next_month(self.first) - timedelta(days=1), by=by,
            product=self.cleaned_data["product"],
        )  # fmt: skip
        return f"{row.product}: ${row.rate} a proof gallon for {row.effective:%B %Y} is kept."


FORMS: dict[str, Any] = {
    "mark": MarkForm,
    "batch": BatchForm,
    "standard": StandardForm,
    "average": AverageForm,
}
