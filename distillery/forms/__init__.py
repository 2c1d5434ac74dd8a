"""The parts that every record's form is built from."""

from distillery.forms.age_field import AgeField, wood_field
from distillery.forms.base import RecordForm
from distillery.forms.day_field import DayField
from distillery.forms.fields import (
    ChoiceField,
    CodeField,
    LotField,
    MaterialField,
    ProductField,
    QuantityField,
    TextField,
    VesselField,
    WhenField,
    YesField,
)
from distillery.forms.gauge import GaugeField
from distillery.forms.instrument_field import InstrumentField
from distillery.forms.parts import Part, RowsField

__all__ = [
    "AgeField",
    "ChoiceField",
    "CodeField",
    "DayField",
    "GaugeField",
    "InstrumentField",
    "LotField",
    "MaterialField",
    "Part",
    "ProductField",
    "QuantityField",
    "RecordForm",
    "RowsField",
    "TextField",
    "VesselField",
    "WhenField",
    "YesField",
    "wood_field",
]
