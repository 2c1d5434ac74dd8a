"""When a record is late (27 CFR 19.580): counted by hand on a calendar of 2026."""

from datetime import date

import pytest

from distillery.records.lateness import days_late, due_on


@pytest.mark.parametrize(
    ("happened", "due"),
    [
        (date(2026, 3, 4), date(2026, 3, 5)),  # Wednesday to Thursday
        (date(2026, 3, 6), date(2026, 3, 9)),  # Friday to Monday
        (date(2026, 3, 7), date(2026, 3, 9)),  # Saturday to Monday
        # Independence Day is a Saturday in 2026, observed on Friday 3 July (5 U.S.C. 6103(b))
        (date(2026, 7, 2), date(2026, 7, 6)),
        (date(2026, 11, 25), date(2026, 11, 27)),  # over Thanksgiving Day (5 U.S.C. 6103(a))
    ],
)
def test_by_close_of_the_next_business_day(happened, due):
    assert due_on(happened, 1) == due
    assert days_late(happened, due, 1) == 0


def test_tax_is_recorded_the_same_day():
    # 27 CFR 19.580(b)
    assert days_late(date(2026, 3, 6), date(2026, 3, 6), 0) == 0
    assert days_late(date(2026, 3, 6), date(2026, 3, 7), 0) == 1


def test_what_is_late_is_counted_from_when_it_was_due():
    assert days_late(date(2026, 3, 6), date(2026, 3, 12), 1) == 3
