"""The returns of a plant by its own dated rules: periods of any length, one after another.

When the rule changes inside a period (the year's tax has passed a ceiling of 27 CFR 19.235),
the period ends the day before; what is unpaid is due with the return that the change falls in.
"""

from dataclasses import replace
from datetime import date
from itertools import count

from distillery.models import DatedSetting
from distillery.models.plant import Rulebook
from reports.return_periods import DAY, ReturnPeriod, return_periods

NAME = DatedSetting.Name


def _one_on(rules: Rulebook, day: date) -> ReturnPeriod:
    eft = rules.value_on(NAME.PAYS_BY_TRANSFER, day) == "yes"
    periods = return_periods(rules.value_on(NAME.RETURN_PERIOD, day), day.year, eft=eft)
    return next(period for period in periods if period.holds(day))


def _cut(rules: Rulebook, period: ReturnPeriod) -> ReturnPeriod:
    """*period*, ended before a change of the rule that falls inside it."""
    inside = [day for day in rules.days_of(NAME.RETURN_PERIOD) if period.begin < day <= period.end]
    for day in inside:
        new = _one_on(rules, day)
        if new != _one_on(rules, period.begin):
            return replace(period, end=day - DAY, due=min(period.due, new.due))
    return period


def returns_of(rules: Rulebook, *, since: date, through: date) -> list[ReturnPeriod]:
    """The returns from the one that holds *since* to the one that holds *through*.

    They are numbered anew each calendar year, in their order.
    """
    found: list[ReturnPeriod] = []
    day, numbers, year = date(since.year, 1, 1), count(1), since.year
    while day <= through:
        if day.year != year:
            numbers, year = count(1), day.year
        period = _cut(rules, _one_on(rules, day))
        period = replace(period, begin=day, number=next(numbers))
        found.append(period)
        day = period.end + DAY
    return [period for period in found if period.end >= since]


def return_on(rules: Rulebook, day: date) -> ReturnPeriod:
    """The return that *day* belongs to, with its number."""
    return returns_of(rules, since=day, through=day)[0]
