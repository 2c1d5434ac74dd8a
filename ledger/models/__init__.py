"""The book's tables. Nothing here is written but through ledger.posting and ledger.closing."""

from ledger.models.book import Descent, Entry, FlowTotal, Holding, Movement
from ledger.models.things import Designation, Lot, Period, Premises, Vessel

__all__ = [
    "Descent",
    "Designation",
    "Entry",
    "FlowTotal",
    "Holding",
    "Lot",
    "Movement",
    "Period",
    "Premises",
    "Vessel",
]
