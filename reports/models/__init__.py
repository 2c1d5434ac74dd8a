"""What the top floor keeps of its own: papers as filed, editions, the return's own entries."""

from reports.models.calendar_feed import CalendarFeed
from reports.models.content_credits import EffectiveRate, EligibleContent
from reports.models.editions import AddedEdition, CheckedLine
from reports.models.filed import Filed
from reports.models.returns import Adjustment, Prepayment
from reports.models.state_rates import StateRate

__all__ = [
    "AddedEdition",
    "Adjustment",
    "CalendarFeed",
    "CheckedLine",
    "EffectiveRate",
    "EligibleContent",
    "Filed",
    "Prepayment",
    "StateRate",
]
