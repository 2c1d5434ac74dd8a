"""Lateness as a word (27 CFR 19.580), and the business days it counts by."""

from datetime import date

import pytest

from distillery.business_days import business_day_after, business_days_between, holidays
from distillery.lateness import late_words
from ledger.models import Entry
from tests.world import make_world


def test_the_holidays_of_a_year():
    # 5 U.S.C. 6103(a); the days of 2026 as the US Office of Personnel Management lists them:
    # 4 July is a Saturday and kept on the Friday before. From memory.
    assert sorted(holidays(2026)) == [
        date(2026, 1, 1), date(2026, 1, 19), date(2026, 2, 16), date(2026, 5, 25),
        date(2026, 6, 19), date(2026, 7, 3), date(2026, 9, 7), date(2026, 10, 12),
        date(2026, 11, 11), date(2026, 11, 26), date(2026, 12, 25),
    ]  # fmt: skip


def test_new_years_day_on_a_saturday_is_kept_in_the_old_year():
    # 1 January 2022 was a Saturday: 31 December 2021 was the holiday. From memory.
    assert date(2021, 12, 31) in holidays(2021)
    assert date(2022, 1, 1) not in holidays(2022)


@pytest.mark.parametrize(
    ("day", "number", "due"),
    [
        (date(2026, 1, 29), 1, date(2026, 1, 30)),  # Thursday, Friday
        (date(2026, 1, 30), 1, date(2026, 2, 2)),  # over a weekend
        (date(2026, 1, 16), 1, date(2026, 1, 20)),  # over Martin Luther King's day
        (date(2026, 1, 29), 3, date(2026, 2, 3)),
    ],
)
def test_business_days_leave_out_weekends_and_holidays(day, number, due):
    assert business_day_after(day, number) == due
    assert business_days_between(day, due) == number


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("recorded", "accounts", "words"),
    [
        ("2026-01-29 23:00", ["storage"], ""),
        ("2026-01-30 17:00", ["storage"], ""),
        ("2026-02-02 17:00", ["storage"], "in time if a full record was made on the day"),
        ("2026-02-03 17:00", ["storage"], "else due 30 Jan 2026 (27 CFR 19.580(a))"),
        ("2026-02-04 09:00", ["storage"], "recorded late, 4 Feb 2026; due 30 Jan 2026"),
        ("2026-01-30 09:00", ["tax_determined"], "due the same day (27 CFR 19.580(b))"),
        ("2026-01-29 23:59", ["tax_determined"], ""),
    ],
)
def test_how_late_it_was_recorded(recorded, accounts, words):
    world = make_world()
    entry = Entry(
        premises=world.premises, operation="x", form="{}",
        happened_at=world.when("2026-01-29 10:00"), recorded_at=world.when(recorded),
    )  # fmt: skip
    told = late_words(entry, accounts)
    assert words in told
    assert bool(told) == bool(words)
