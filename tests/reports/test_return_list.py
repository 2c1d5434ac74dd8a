"""A plant's returns by its dated rules; 27 CFR 19.235-19.237."""

from datetime import date

from distillery.models.plant import Rulebook
from reports.return_list import return_on, returns_of

PERIOD = "return_period"


def told(rules, since, through):
    found = returns_of(Rulebook(rules), since=since, through=through)
    return [(one.serial, one.begin, one.end, one.due) for one in found]


def test_a_small_plant_files_by_the_quarter():
    # 27 CFR 19.235; TTB due dates 2025: the first quarter is due 14 April
    found = told([], date(2025, 1, 1), date(2025, 6, 30))
    assert found == [
        ("TR-2025-1", date(2025, 1, 1), date(2025, 3, 31), date(2025, 4, 14)),
        ("TR-2025-2", date(2025, 4, 1), date(2025, 6, 30), date(2025, 7, 14)),
    ]


def test_passing_the_ceiling_ends_the_quarter():
    """19.235(b): what is unpaid is due 14 days after the semi-monthly period it happened in."""
    rules = [(PERIOD, date(2020, 1, 1), "quarterly"), (PERIOD, date(2025, 5, 16), "semimonthly")]
    found = told(rules, date(2025, 4, 1), date(2025, 6, 15))
    assert found == [
        ("TR-2025-2", date(2025, 4, 1), date(2025, 5, 15), date(2025, 6, 13)),
        ("TR-2025-3", date(2025, 5, 16), date(2025, 5, 31), date(2025, 6, 13)),
        ("TR-2025-4", date(2025, 6, 1), date(2025, 6, 15), date(2025, 6, 27)),
    ]


def test_numbers_begin_again_each_year():
    # TTB serial numbers TR-2025-1 and so on
    rules = Rulebook([])
    assert return_on(rules, date(2025, 12, 1)).serial == "TR-2025-4"
    assert return_on(rules, date(2026, 1, 1)).serial == "TR-2026-1"


def test_a_rule_that_says_the_same_again_cuts_nothing():
    # a dated row that repeats the rule in force
    rules = [(PERIOD, date(2020, 1, 1), "quarterly"), (PERIOD, date(2025, 5, 16), "quarterly")]
    found = told(rules, date(2025, 4, 1), date(2025, 6, 30))
    assert [one[:3] for one in found] == [("TR-2025-2", date(2025, 4, 1), date(2025, 6, 30))]
