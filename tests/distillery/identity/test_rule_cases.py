"""Names, ages and formulas against the check cases; the source stands in each row."""

from datetime import date
from decimal import Decimal

import pytest

from distillery.identity import (
    PROHIBITED,
    STANDARDS,
    Made,
    age_words,
    distilling_season,
    findings,
    formula_section,
    in_bond_findings,
    is_allowed,
    statement_for,
)
from distillery.identity.formulas import filtering_section
from distillery.identity.standards import may_say_charcoal_filtered
from tests.rule_cases import rows

# Words of the rows as facts of ours.
DECIMALS = ("distilled_proof", "entry_proof", "sugar_g_per_l")
GRAINS = {"corn_percent": "corn"}
PARTS = {
    "straight_percent_pg": "straight",
    "straight_bourbon_percent_pg": "straight bourbon",
    "whisky_percent_pg": "whisky",
    "apple_brandy_percent_pg": "apple brandy",
    "bourbon_percent_pg": "bourbon",
}


def years(text):
    """A number of years like 1.5 as (years, months, days)."""
    value = Decimal(text)
    return int(value), int(value % 1 * 12), 0


def made_from(given):
    """The facts of a row."""
    facts = {}
    for key, value in given.items():
        if key in GRAINS:
            facts["grains"] = {GRAINS[key]: Decimal(value)}
        elif key in PARTS:
            facts.setdefault("parts", {})[PARTS[key]] = Decimal(value)
        elif key in ("years", "oak_years", "apple_brandy_oak_years"):
            facts["oak"] = facts["new_oak"] = years(value)
        elif key == "wood":
            facts["woods"] = frozenset({"new"})
        elif key == "coloring_flavoring_blending":
            facts["added"] = frozenset({"coloring"})
        elif key == "sugar_percent_weight":
            facts["sugar_pct_weight"] = Decimal(value)
        elif key == "abv":
            facts["bottled_proof"] = Decimal(value) * 2
        elif key in DECIMALS:
            facts[key] = Decimal(value)
    return Made(**facts)


def name_of(given):
    return given.get("type") or given["class"]


CLASS_ROWS = [row for row in rows("class_rule") if "ok" in row.values[0]["expect"]]


@pytest.mark.parametrize("row", CLASS_ROWS)
def test_a_name_is_judged_by_its_limits(row):
    given = row["input"]
    met = not findings(STANDARDS[name_of(given)], made_from(given))
    assert met == row["expect"]["ok"], row["source"]


def test_vodka_may_say_charcoal_filtered_from_an_ounce_in_a_hundred_gallons():
    # 27 CFR 5.142(b)(1)
    assert may_say_charcoal_filtered(Made(charcoal_oz_per_100_gal=Decimal(1)))
    assert not may_say_charcoal_filtered(Made(charcoal_oz_per_100_gal=Decimal("0.99")))


def test_grape_brandy_under_two_years_is_immature():
    # 27 CFR 5.145(c)(1), class-immature-brandy
    (found,) = findings(STANDARDS["grape brandy"], Made(oak=(1, 6, 0)))
    assert "immature" in found.text


def test_a_liqueur_with_ten_per_cent_sugar_is_not_dry():
    # 27 CFR 5.150(a), class-liqueur-dry
    assert findings(STANDARDS["dry liqueur"], Made(sugar_pct_weight=Decimal(10)))
    assert not findings(STANDARDS["dry liqueur"], Made(sugar_pct_weight=Decimal("9.9")))


@pytest.mark.parametrize("name", ["distilled gin", "dry gin", "london gin", "old tom gin"])
def test_gin_mixed_from_extracts_is_not_called_distilled_or_dry(name):
    # 27 CFR 5.144(b), class-gin-london
    assert findings(STANDARDS[name], Made(method="mixing"))
    assert not findings(STANDARDS[name], Made(method="redistillation"))


AGES = {
    "age-whisky-3y11m": ("whisky", (3, 11, 0), {}),
    "age-whisky-1day": ("whisky", (0, 0, 1), {}),
    "age-whisky-bib": ("whisky", (4, 0, 0), {"bottled_in_bond": True}),
    "age-brandy-18m": ("brandy", (1, 6, 0), {}),
    "age-brandy-2y": ("brandy", (2, 0, 0), {}),
    "age-gin-sweetened": ("gin", (0, 6, 0), {"added": ["sugar"]}),
    "age-gin-chips": ("gin", None, {}),
}
AGE_ROWS = [row for row in rows("age_statement") if row.id in AGES]


@pytest.mark.parametrize("row", AGE_ROWS)
def test_a_statement_of_age_is_required_optional_or_prohibited(row):
    family, youngest, more = AGES[row["id"]]
    expected = row["expect"]["statement"]
    found = statement_for(family, youngest=youngest, **more)
    assert found == (PROHIBITED if expected == "not permitted" else expected), row["source"]


def test_an_age_may_be_understated_but_not_below_what_the_name_asks():
    # 27 CFR 5.74(a)(2), age-straight-rye and age-overstate
    assert not is_allowed((1, 0, 0), (2, 1, 0), designation="straight rye whisky")
    assert is_allowed((2, 0, 0), (2, 1, 0), designation="straight rye whisky")
    assert not is_allowed((4, 0, 0), (3, 11, 30), designation="whisky")
    assert is_allowed((3, 0, 0), (3, 11, 30), designation="whisky")


def test_whisky_from_reused_barrels_tells_how_long_it_was_stored():
    # 27 CFR 5.74(b)(4), age-reused and age-reused-corn
    words = age_words((3, 0, 0), family="whisky", type_code="rye", woods=["other"])
    assert words == "stored 3 years in reused cooperage"
    words = age_words((3, 0, 0), family="whisky", type_code="corn", woods=["other"])
    assert words == "3 years old"


@pytest.mark.parametrize("row", rows("distilling_season"))
def test_a_distilling_season_is_half_a_year(row):
    day = date.fromisoformat(row["input"]["date"])
    assert distilling_season(day) == row["expect"]["season"], row["source"]


@pytest.mark.parametrize("row", rows("bottled_in_bond"))
def test_bottled_in_bond(row):
    given = row["input"]
    days = (date(2022, 3, 1), date(2022, 4 if given["same_season"] else 9, 1))
    made = Made(
        distillers=1 if given["one_distiller_one_distillery"] else 2,
        distilled_on=days,
        oak=years(given["years_in_wood"]),
        bottled_proof=Decimal(given["bottling_proof"]),
        added=frozenset(given["additions"]) - {"water"},
    )
    assert (not in_bond_findings(made)) == row["expect"]["eligible"], row["source"]


ACTS = {
    "formula-steep": "steeping",
    "formula-gin-redistil": "gin_by_redistillation",
    "formula-char-mix": "charred_with_reused",
}


@pytest.mark.parametrize("row", [row for row in rows("formula_trigger") if row.id in ACTS])
def test_an_act_that_needs_a_formula(row):
    assert bool(formula_section(ACTS[row["id"]])) == row["expect"]["formula"], row["source"]


def test_filtering_a_straight_whisky_needs_a_formula_above_the_limits():
    # 27 CFR 5.193(c): more than 15 % of acids, esters, solids or more than 25 % of color
    assert not filtering_section(removed_pct=Decimal(15))
    assert filtering_section(removed_pct=Decimal("15.1"))
    assert not filtering_section(color_removed_pct=Decimal(25))
    assert filtering_section(color_removed_pct=Decimal("25.1"))
