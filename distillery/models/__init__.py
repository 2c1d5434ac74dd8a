"""What the plant is made of beside the book: settings, people, sheets of vessels, readings."""

from distillery.models.bottle_checks import BottleCheck, FoundFill
from distillery.models.instruments import Instrument, InstrumentCorrection
from distillery.models.people import Membership
from distillery.models.plant import DatedSetting, Plant
from distillery.models.printed import PrintedCell
from distillery.models.readings import Reading
from distillery.models.runs import BottlingRun, CaseSerials
from distillery.models.slips import KeptSlip
from distillery.models.stock import Material, Product
from distillery.models.strapping import StrappingRow, StrappingTable
from distillery.models.vessels import Barrel, VesselSheet

__all__ = [
    "Barrel",
    "BottleCheck",
    "BottlingRun",
    "CaseSerials",
    "DatedSetting",
    "FoundFill",
    "Instrument",
    "InstrumentCorrection",
    "KeptSlip",
    "Material",
    "Membership",
    "Plant",
    "PrintedCell",
    "Product",
    "Reading",
    "StrappingRow",
    "StrappingTable",
    "VesselSheet",
]
