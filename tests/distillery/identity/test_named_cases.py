"""Check cases that ask something of their own; the source stands in each row."""

from decimal import Decimal

import pytest

from distillery.ages import Age, Span, youngest
from distillery.identity import STANDARDS, Made, age_words, findings, is_allowed
from distillery.identity.formulas import filtering_section
from distillery.identity.standards import may_say_charcoal_filtered
from tests.rule_cases import named

NAMES_OF_GIN = ("distilled gin", "dry gin", "london gin", "old tom gin")


@pytest.mark.parametrize("row", named("class-vodka-charcoal"))
def test_vodka_may_say_it_was_filtered(row):
    given = row["input"]
    ounces = Decimal(given["charcoal_oz"]) * 100 / Decimal(given["per_wine_gallons"])
    found = may_say_charcoal_filtered(Made(charcoal_oz_per_100_gal=ounces))
    assert found == row["expect"]["may_say_charcoal_filtered"], row["source"]


@pytest.mark.parametrize("row", named("class-immature-brandy"))
def test_a_young_grape_brandy_is_called_immature(row):
    assert row["input"]["oak_years"] == "1.5"
    (found,) = findings(STANDARDS["grape brandy"], Made(oak=(1, 6, 0)))
    assert "immature" in found.text
    assert "immature" in row["expect"]["must_be"], row["source"]


@pytest.mark.parametrize("row", named("class-liqueur-dry"))
def test_a_liqueur_of_ten_per_cent_is_not_dry(row):
    made = Made(sugar_pct_weight=Decimal(row["input"]["sugar_percent_weight"]))
    found = not findings(STANDARDS["dry liqueur"], made)
    assert found == row["expect"]["may_say_dry"], row["source"]


@pytest.mark.parametrize("row", named("class-gin-london"))
def test_mixed_gin_bears_none_of_the_names(row):
    assert row["input"]["method"].startswith("mixing")
    found = [not findings(STANDARDS[name], Made(method="mixing")) for name in NAMES_OF_GIN]
    expected = row["expect"]["may_use_distilled_dry_london_old_tom"]
    assert found == [expected] * 4, row["source"]


@pytest.mark.parametrize("row", named("age-straight-rye"))
def test_a_stated_age_may_not_deny_the_name(row):
    # "over 2 years" as 2 years 1 month; "Aged 1 year"
    found = is_allowed((1, 0, 0), (2, 1, 0), designation=row["input"]["designation"])
    assert found == row["expect"]["allowed"], row["source"]


@pytest.mark.parametrize("row", named("age-overstate"))
def test_a_day_short_is_overstated(row):
    # 364 days are short of a year; eleven months and thirty days stand for them
    found = is_allowed((4, 0, 0), (3, 11, 30), designation=row["input"]["class"])
    assert found == row["expect"]["allowed"], row["source"]


@pytest.mark.parametrize("row", named("age-youngest"))
def test_the_youngest_part_gives_the_age(row):
    parts = [Age(Span(int(text.split()[0]))) for text in row["input"]["components"]]
    assert str(youngest(parts).total) == row["expect"]["age_stated"], row["source"]


@pytest.mark.parametrize("row", named("age-reused", "age-reused-corn"))
def test_the_words_for_reused_cooperage(row):
    kind = "corn" if row["input"]["designation"].startswith("corn") else "rye"
    found = age_words((3, 0, 0), family="whisky", type_code=kind, woods=["other"])
    ordinary = "ordinary" in row["expect"]["words"]
    expected = "3 years old" if ordinary else "stored 3 years in reused cooperage"
    assert found == expected, row["source"]


@pytest.mark.parametrize(
    "row", named("formula-filter-straight-15", "formula-filter-straight-color")
)
def test_filtering_a_straight_whisky(row):
    given = row["input"]
    removed = Decimal(given.get("removed_percent_acids_esters_solids", 0))
    color = Decimal(given.get("removed_percent_soluble_color", 0))
    found = bool(filtering_section(removed_pct=removed, color_removed_pct=color))
    assert found == row["expect"]["formula"], row["source"]
