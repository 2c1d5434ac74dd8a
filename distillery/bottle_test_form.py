"""The form of a test at the bottling line, with the weights to look for beside its boxes."""

from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError

from distillery.fill_tests import targets
from distillery.forms import Part, QuantityField, RecordForm, RowsField, TextField, VesselField
from distillery.models import BottlingRun, Product
from distillery.tested_bottles import SIXTY, TANKS, aim


class FillPart(Part):
    """One bottle: the volume poured out of it, or its weight and that of the empty bottle."""

    volume = QuantityField("volume", unit="mL", required=False, above=1, label="Volume")
    gross = QuantityField("small_weight", required=False, above=1, label="or filled bottle")
    tare = QuantityField("small_weight", required=False, above=1, label="Empty bottle")

    def clean(self) -> dict[str, Any]:
        """One way to the fill."""
        data = super().clean() or {}
        if not self.errors and (data["volume"] is None) == (data["gross"] is None):
            raise ValidationError({"volume": "Give the volume or the weight of the filled bottle."})
        return data


class TestedForm(RecordForm):
    """What both tests at the line ask: tank, line, bottles, temperature, strength."""

    vessel = VesselField(*TANKS, label="Bottling tank")
    line = TextField(max_length=40, label="Line")
    fills = RowsField(FillPart, required=False, label="Bottles")
    temperature = QuantityField(
        "temperature", required=False, label="Temperature of the liquid, empty for 60 °F"
    )
    proof = QuantityField("proof", required=False, label="Alcohol found at 60 °F, like 45.1 %")
    reading = QuantityField("proof", required=False, label="or hydrometer reading")
    reading_temperature = QuantityField(
        "temperature", required=False, label="Temperature at the hydrometer"
    )
    tare = QuantityField(
        "small_weight", required=False, above=1, label="Empty bottle, if the same for all"
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        code = (self.data if self.is_bound else self.initial).get("vessel")
        run = BottlingRun.objects.filter(
            premises=self.premises, vessel__code=code, closed_by=None, is_void=False
        )
        for product in Product.objects.filter(bottlingrun__in=run)[:1] if code else ():
            self.fields["fills"].help_text = marks(product)

    def clean(self) -> dict[str, Any]:
        """A hydrometer reading needs its temperature; one way to the strength."""
        data = super().clean() or {}
        if self.errors:
            return data
        if data["proof"] is not None and data["reading"] is not None:
            raise ValidationError({"proof": "Give the alcohol found or a hydrometer reading."})
        if data["reading"] is not None and data["reading_temperature"] is None:
            raise ValidationError({"reading_temperature": "Give the temperature read, like 68 F."})
        return data


def marks(product: Product) -> str:
    """The weights to look for, beside the boxes they are typed into."""
    rows = targets(product.bottle_ml, Decimal(product.label_proof), SIXTY)
    told = "; ".join(f"{one.name} {aim(one, product.tare_g)}" for one in rows)
    return f"{product.bottle_ml} mL at {product.label_proof} proof: {told} (27 CFR 19.356(b))."
