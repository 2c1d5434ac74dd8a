"""Age: time in oak, by years, months and days; the youngest of several."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from distillery.ages import (
    Age,
    Span,
    age_on,
    between,
    counted_on,
    counts_new_only,
    in_no_wood,
    in_wood,
    read,
    span_of,
    youngest,
)
from ledger.plan import NewLot

# Calendar counts, checked by hand on a calendar.
SPELLS = [
    (date(2023, 10, 11), date(2026, 1, 25), Span(2, 3, 14)),
    (date(2026, 1, 30), date(2026, 1, 30), Span()),
    (date(2026, 1, 31), date(2026, 2, 28), Span(0, 0, 28)),
    (date(2026, 1, 31), date(2026, 3, 1), Span(0, 1, 1)),
    (date(2024, 2, 29), date(2028, 2, 29), Span(4)),
    (date(2022, 2, 3), date(2026, 2, 2), Span(3, 11, 30)),
    (date(2026, 1, 1), date(2026, 1, 31), Span(0, 0, 30)),
    (date(2024, 1, 31), date(2024, 3, 1), Span(0, 1, 1)),
    (date(2023, 2, 28), date(2026, 2, 28), Span(3)),
    (date(2025, 12, 15), date(2026, 1, 14), Span(0, 0, 30)),
    (date(2026, 2, 3), date(2026, 1, 1), Span()),
]


@pytest.mark.parametrize(("start", "end", "expected"), SPELLS)
def test_a_spell_goes_by_the_calendar(start, end, expected):
    assert between(start, end) == expected


def test_spells_add_up_with_thirty_days_to_a_month():
    # common practice, no source: the law names years, months and days (27 CFR 19.592(d)(5))
    assert Span(1, 11, 20) + Span(0, 0, 15) == Span(2, 0, 5)
    assert Span(0, 0, 30) + Span() == Span(0, 0, 30)


def test_a_duration_is_written_as_iso_8601():
    assert Span(2, 3, 14).iso == "P2Y3M14D"
    assert (Span().iso, Span(0, 0, 9).iso) == ("", "P9D")
    assert span_of("P2Y14D") == Span(2, 0, 14)
    with pytest.raises(ValueError, match="P1W"):
        span_of("P1W")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2 years 3 months 14 days", Span(2, 3, 14)),
        ("2y 3m", Span(2, 3)),
        ("18 months", Span(1, 6)),
        ("p1y", Span(1)),
        ("1 year, 1 day", Span(1, 0, 1)),
        ("", Span()),
    ],
)
def test_what_a_person_writes_is_read(text, expected):
    assert read(text) == expected


@pytest.mark.parametrize("text", ["old", "2", "3 weeks", "2 years old"])
def test_what_is_no_age_is_refused(text):
    with pytest.raises(ValueError, match=r"age|duration"):
        read(text)


def test_it_is_told_in_words():
    assert str(Span(2, 3, 14)) == "2 years 3 months 14 days"
    assert (str(Span(1, 0, 1)), str(Span())) == ("1 year 1 day", "0 days")


def lot(**facts):
    told = {"class_code": "whisky", "type_code": "bourbon"} | facts
    return NewLot("26A30", "spirits", "pg", "Whisky", **told)


def test_age_runs_in_wood_and_stands_still_outside():
    # 27 CFR 5.1: age is the time stored in oak barrels
    barrel = lot(wood="new", aged_from=date(2024, 1, 30))
    assert age_on(barrel, date(2026, 1, 30)) == Age(Span(2))
    tank = lot(aged_new="P2Y")
    assert age_on(tank, date(2030, 1, 30)) == Age(Span(2))
    assert age_on(lot(aged_from=date(2020, 1, 1)), date(2026, 1, 1)) == Age()


def test_a_second_spell_adds_to_the_first():
    finish = lot(wood="other", aged_from=date(2026, 1, 1), aged_new="P2Y3M14D")
    assert age_on(finish, date(2026, 7, 11)) == Age(Span(2, 3, 14), Span(0, 6, 10))


def test_for_bourbon_only_charred_new_oak_counts():
    # 27 CFR 5.1: bourbon, rye, wheat, malt, rye malt, and straights other than straight corn
    finish = lot(aged_new="P2Y", aged_other="P6M")
    assert counted_on(finish, date(2026, 1, 1)) == Span(2)
    rum = lot(class_code="rum", type_code="", aged_new="P2Y", aged_other="P6M")
    assert counted_on(rum, date(2026, 1, 1)) == Span(2, 6)


@pytest.mark.parametrize(
    ("type_code", "expected"),
    [
        ("bourbon", True), ("straight rye", True), ("rye malt", True), ("wheat", True),
        ("corn", False), ("straight corn", False), ("american single malt", False),
        ("light", False), ("", False),
    ],
)  # fmt: skip
def test_which_whiskies_are_bound_to_new_oak(type_code, expected):
    # 27 CFR 5.1, 5.143(b); American single malt 89 FR (T.D. TTB-199) names any oak
    assert counts_new_only("whisky", type_code) is expected


def test_the_mixture_is_as_old_as_its_youngest():
    # 27 CFR 19.328; 5.74(b)(1)(i): of 2 and 6 years, 2 years
    assert youngest([Age(Span(2)), Age(Span(6))]).total == Span(2)
    assert youngest([Age(Span(2)), Age()]) == Age()
    assert youngest([]) == Age()


def test_no_part_of_the_age_is_overstated():
    # 27 CFR 5.74(a)(2): understated at will, never overstated
    parts = [Age(Span(2), Span(3)), Age(Span(4))]
    assert youngest(parts, new_only=True) == Age(Span(2), Span())
    assert youngest(parts) == Age(Span(2), Span(2))
    assert youngest([Age(Span(2)), Age(Span(), Span(3))]) == Age(Span(), Span(2))


def test_the_facts_of_a_lot_in_and_out_of_wood():
    age = Age(Span(2, 3, 14), Span(0, 6))
    assert in_no_wood(age) == {
        "wood": "", "aged_from": None, "aged_new": "P2Y3M14D", "aged_other": "P6M",
    }  # fmt: skip
    day = date(2026, 2, 3)
    assert in_wood(age, wood="other", day=day)["aged_from"] == day


SPANS = st.builds(Span, st.integers(0, 30), st.integers(0, 11), st.integers(0, 29))
AGES = st.lists(st.builds(Age, SPANS, SPANS), min_size=1, max_size=6)


@given(AGES, st.booleans())
def test_a_mixture_is_never_older_than_any_part(parts, new_only):
    # 27 CFR 19.328 and 5.74(a)(2)
    mixed = youngest(parts, new_only=new_only)
    assert all(mixed.new <= part.new for part in parts)
    assert all(mixed.total <= part.total for part in parts)
    if new_only:
        assert all(mixed.other <= part.other for part in parts)


@given(SPANS)
def test_what_is_written_is_read_again(span):
    assert span_of(span.iso) == span
    assert read(str(span)) == span
    assert span + Span() == span


@given(st.dates(date(1990, 1, 1), date(2090, 1, 1)), st.integers(0, 12000))
def test_a_spell_is_as_long_as_the_calendar_says(start, days):
    # the standard library's own dates: a year has 365 or 366 days, a month 28 to 31
    end = start + timedelta(days=days)
    span = between(start, end)
    months = span.years * 12 + span.months
    assert 28 * months <= days <= 31 * (months + 1)
    assert span.days <= 30
