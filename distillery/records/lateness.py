"""How late a record was entered (27 CFR 19.580): weekends and federal holidays left out."""

from datetime import date, timedelta
from functools import cache

import holidays

FRIDAY = 4


@cache
def _holidays() -> holidays.HolidayBase:
    """The legal public holidays of the United States (5 U.S.C. 6103), observed days too."""
    return holidays.country_holidays("US")


def is_business_day(day: date) -> bool:
    """Monday to Friday, no federal holiday."""
    return day.weekday() <= FRIDAY and day not in _holidays()


def due_on(happened: date, business_days: int) -> date:
    """The last day on which a record of *happened* is in time: 0 for the same day."""
    day = happened
    for _ in range(business_days):
        day += timedelta(days=1)
        while not is_business_day(day):
            day += timedelta(days=1)
    return day


def days_late(happened: date, recorded: date, business_days: int) -> int:
    """Calendar days between when the record was due and when it was entered; 0 in time."""
    return max(0, (recorded - due_on(happened, business_days)).days)
