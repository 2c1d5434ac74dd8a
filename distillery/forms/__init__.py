"""The parts that every record's form is built from."""

from distillery.forms.base import RecordForm
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
    "ChoiceField",
    "CodeField",
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
]
