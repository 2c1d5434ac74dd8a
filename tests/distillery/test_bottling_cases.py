"""Bottling, gauging and marking against the check cases; the source stands in each row."""

from datetime import date
from decimal import Decimal

import pytest

from distillery.case_marks import case_marks
from distillery.fill import SIZES_ML, is_standard_size
from distillery.fill_tests import allowed_pct, is_fill_within, is_proof_within
from ledger import gauging
from ledger.gauging import SolidsRule
from tests.rule_cases import rows

SOLIDS = {
    "hydrometer only": SolidsRule.OPTIONAL,
    "add obscuration": SolidsRule.REQUIRED,
    "true proof by distillation or laboratory method": SolidsRule.DISTIL,
}


@pytest.mark.parametrize("row", rows("bottling_abv"))
def test_alcohol_found_against_the_label(row):
    label, found = (Decimal(row["input"][name]) * 2 for name in ("label_abv", "found_abv"))
    assert is_proof_within(found, label) == row["expect"]["acceptable"], row["source"]


@pytest.mark.parametrize("row", rows("fill_band"))
def test_the_tolerance_of_a_size(row):
    found = allowed_pct(int(row["input"]["bottle_ml"]))
    assert found == Decimal(row["expect"]["tolerance_percent"]), row["source"]


@pytest.mark.parametrize("row", rows("fill_check"))
def test_a_fill_found(row):
    found, size = Decimal(row["input"]["found_ml"]), int(row["input"]["bottle_ml"])
    assert is_fill_within(found, size) == row["expect"]["acceptable"], row["source"]


@pytest.mark.parametrize("row", rows("standard_of_fill"))
def test_the_sizes_of_the_law(row):
    expected = row["expect"]
    assert {str(size) for size in SIZES_ML} == set(expected["sizes_ml"]), row["source"]
    assert len(SIZES_ML) == expected["count"]


@pytest.mark.parametrize("row", rows("standard_of_fill_check"))
def test_a_size_on_the_list_or_not(row):
    size = int(row["input"]["bottle_ml"])
    assert is_standard_size(size) == row["expect"]["authorized"], row["source"]


@pytest.mark.parametrize("row", rows("obscuration"))
def test_a_dry_residue_hides_proof(row):
    residue, expected = Decimal(row["input"]["residue_g_per_25ml"]), row["expect"]
    assert residue * 4 == Decimal(expected["solids_g_per_100ml"])
    found = gauging.obscuration(residue, apparent_proof=90)
    assert found == Decimal(expected["obscuration_proof"]), row["source"]


@pytest.mark.parametrize("row", rows("obscuration_rule"))
def test_what_solids_ask_of_a_gauge(row):
    found = gauging.solids_rule(Decimal(row["input"]["solids_mg_per_100ml"]))
    assert found == SOLIDS[row["expect"]["method"]], row["source"]


@pytest.mark.parametrize("row", rows("proof_gallons"))
def test_proof_gallons(row):
    given = row["input"]
    found = gauging.proof_gallons(Decimal(given["gallons"]), Decimal(given["proof"]))
    assert found == Decimal(row["expect"]["pg"]), row["source"]


@pytest.mark.parametrize("row", rows("case_marks"))
def test_the_marks_of_a_case_in_the_laws_order(row):
    marks = case_marks(
        serial="43", kind="Distilled gin", registry="DSP-XX-00000", filled=date(2026, 3, 21),
        proof=Decimal("90.0"), liters=Decimal("9.000"),
    )  # fmt: skip
    assert [name for name, _ in marks] == row["expect"]["required"], row["source"]
    assert all(words for _, words in marks)
