"""What the top floor keeps of its own: papers as they were filed, and the return's own entries."""

from reports.models.calendar_feed import CalendarFeed
from reports.models.filed import Filed
from reports.models.returns import Adjustment, Prepayment

__all__ = ["Adjustment", "CalendarFeed", "Filed", "Prepayment"]
