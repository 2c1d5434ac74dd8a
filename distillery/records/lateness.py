"""How many days late a record was entered (27 CFR 19.580), as a figure for its column."""

from datetime import date

from distillery.business_days import business_day_after


def due_on(happened: date, business_days: int) -> date:
    """The last day on which a record of *happened* is in time: 0 for the same day."""
    return business_day_after(happened, business_days) if business_days else happened


def days_late(happened: date, recorded: date, business_days: int) -> int:
    """Calendar days between when the record was due and when it was entered; 0 in time."""
    return max(0, (recorded - due_on(happened, business_days)).days)
