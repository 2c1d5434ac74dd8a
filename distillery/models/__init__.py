"""What the plant is made of beside the book: settings, people, sheets of vessels, readings."""

from distillery.models.barrel_life import BarrelAct, LotMark
from distillery.models.bottle_checks import BottleCheck, FoundFill
from distillery.models.cautions import CautionWording
from distillery.models.devices import Device, KeptForm, Pin, PinTries
from distillery.models.emergency import EmergencyFact, RoomLimit
from distillery.models.formulas import Formula
from distillery.models.instruments import Instrument, InstrumentCorrection
from distillery.models.notices import Notice
from distillery.models.open_counts import CountedPlace, OpenCount
from distillery.models.packed import PackageSerials, SampleTaken
from distillery.models.people import Membership
from distillery.models.plant import DatedSetting, Plant
from distillery.models.printed import PrintedCell
from distillery.models.readings import Reading, ReadingVoid
from distillery.models.remarks import Remark
from distillery.models.runs import BottlingRun, CaseSerials
from distillery.models.slips import KeptSlip
from distillery.models.still_readings import StillReading
from distillery.models.stock import Material, Product
from distillery.models.strapping import StrappingRow, StrappingTable
from distillery.models.tablets import TabletRecord
from distillery.models.vessels import Barrel, VesselSheet

__all__ = [
    "Barrel",
    "BarrelAct",
    "BottleCheck",
    "BottlingRun",
    "CaseSerials",
    "CautionWording",
    "CountedPlace",
    "DatedSetting",
    "Device",
    "EmergencyFact",
    "Formula",
    "FoundFill",
    "Instrument",
    "InstrumentCorrection",
    "KeptForm",
    "KeptSlip",
    "LotMark",
    "Material",
    "Membership",
    "Notice",
    "OpenCount",
    "PackageSerials",
    "Pin",
    "PinTries",
    "Plant",
    "PrintedCell",
    "Product",
    "Reading",
    "ReadingVoid",
    "Remark",
    "RoomLimit",
    "SampleTaken",
    "StillReading",
    "StrappingRow",
    "StrappingTable",
    "TabletRecord",
    "VesselSheet",
]
