"""Due dates against the tables the bureau published; the source stands in each row."""

from datetime import date
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reports.return_periods import (
    FREQUENCIES,
    is_closed,
    longest_allowed,
    period_of,
    return_periods,
    safe_harbor,
)
from tests.reports.filing_cases import rows


@pytest.mark.parametrize("row", rows("due_date"))
def test_a_return_is_due_when_the_table_says(row):
    case, expected = row["input"], row["expect"]
    begin = date.fromisoformat(case["begin"])
    found = period_of(case["period"], begin, eft=case.get("eft_required", False))
    assert (found.begin, found.end) == (begin, date.fromisoformat(case["end"])), row["source"]
    assert found.due == date.fromisoformat(expected["due"]), row["source"]
    if "serial" in expected:
        serial = expected["serial"]
        assert serial in (found.number, found.serial)


@pytest.mark.parametrize("row", rows("september_rule"))
def test_the_safe_harbor_of_september(row):
    case = row["input"]
    least = safe_harbor(Decimal(case["tax_sep_1_15"]), eft=case["eft_required"])
    assert least == Decimal(row["expect"]["safe_harbor_min_by_sep_29_for_sep_16_26"]), row["source"]


def test_who_need_not_pay_by_transfer_is_safe_with_two_thirds():
    # 27 CFR 19.237
    assert safe_harbor(Decimal(30_000), eft=False) == Decimal(20_000)


@given(
    st.sampled_from(FREQUENCIES),
    st.integers(min_value=2018, max_value=2040),
    st.booleans(),
)
def test_the_periods_of_a_year_leave_no_day_out_and_none_twice(frequency, year, eft):
    periods = return_periods(frequency, year, eft=eft)
    days = sum((one.end - one.begin).days + 1 for one in periods)
    assert days == (date(year + 1, 1, 1) - date(year, 1, 1)).days
    pairs = pairwise(periods)
    assert all((after.begin - before.end).days == 1 for before, after in pairs)
    assert not any(is_closed(one.due) for one in periods)


def test_there_are_twenty_five_semimonthly_returns():
    # TTB, due dates for tax returns: numbered 1 to 25 (27 CFR 19.237 adds one in September)
    assert len(return_periods("semimonthly", 2025)) == 25


@pytest.mark.parametrize(
    ("last_year", "expected", "longest"),
    [
        ("1000", "1000", "annual"), ("1000.01", "0", "quarterly"), ("0", "1000.01", "quarterly"),
        ("50000", "50000", "quarterly"), ("50000.01", "0", "semimonthly"),
    ],
)  # fmt: skip
def test_the_longest_period_by_the_years_tax(last_year, expected, longest):
    # 27 CFR 19.235: not over $1,000, not over $50,000, in both years
    found = longest_allowed(last_year=Decimal(last_year), expected=Decimal(expected))
    assert found == longest
