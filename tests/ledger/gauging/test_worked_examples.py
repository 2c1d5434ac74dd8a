"""Whole gauges against the examples that the regulations work out."""

from decimal import Decimal

import pytest

from ledger.gauging import (
    gauge_by_average,
    gauge_by_cases,
    gauge_by_package,
    gauge_by_volume,
    gauge_by_weight,
    half_up,
    obscuration,
    pounds_per_wine_gallon,
    proof_gallons,
    solids_rule,
    water_to_reduce,
    wine_gallons_per_pound,
)
from ledger.gauging.by_weight import weigh_with_solids
from ledger.gauging.proofing import Strength
from ledger.gauging.solids import SolidsRule
from ledger.gauging.tables import Cell

from .published import row, rows


def test_a_tank_by_volume():
    """27 CFR 30.51: 88 inches of 48.96 gallons, 86.8 proof, 72 F."""
    given, printed = row("t7-ex-tank")
    gauge = gauge_by_volume(
        volume_gal=given["inches"] * given["wine_gallons_per_inch"],
        temperature_f=given["temperature_F"],
        proof=given["proof"],
        step="0.1",
    )
    assert gauge.wine_gallons == printed["wine_gallons_60F"]
    assert gauge.proof_gallons == printed["proof_gallons"]
    assert gauge.steps[0].startswith("Table 7: factor 0.995 at 86.8 proof, 72 F (computed")
    assert proof_gallons(gauge.wine_gallons, gauge.proof) == printed["proof_gallons_unrounded"]


def test_a_thousand_gallons_warm():
    """27 CFR 30.67."""
    given, printed = row("t7-ex-1000")
    gauge = gauge_by_volume(volume_gal=given["wine_gallons"], temperature_f=76, proof=190)
    assert gauge.wine_gallons == printed["wine_gallons_60F"]


def test_bulk_by_weight():
    """27 CFR 30.64: 81,000 lb of 190 proof."""
    given, printed = row("t4-ex-81000")
    gauge = gauge_by_weight(net_lb=given["weight_lb"], proof=given["proof"], step="0.1")
    assert gauge.wine_gallons == printed["wine_gallons_unrounded"]
    assert gauge.proof_gallons == printed["proof_gallons"]


def test_the_rule_for_solids_with_the_printed_factor():
    """27 CFR 30.64: wine gallons by the apparent proof to 0.1, then the true proof."""
    given, printed = row("t4-ex-5350")
    strength = Strength(given["apparent_proof"], printed["true_proof"], (), ())
    volume, total, _ = weigh_with_solids(
        Decimal(given["weight_lb"]), Cell(given["wg_per_lb"], "printed"), strength, "0.1"
    )
    assert (volume, total) == (printed["wine_gallons"], printed["proof_gallons"])


def test_solids_from_the_hydrometer_on():
    """The same example from its reading, by the printed cells of Tables 1 and 4."""
    given, printed = row("t4-ex-5350")
    gauge = gauge_by_weight(
        net_lb=given["weight_lb"],
        reading=given["hydrometer_reading"],
        reading_temperature_f=given["temperature_F"],
        obscuration=given["obscuration"],
        step="0.1",
    )
    assert gauge.proof == printed["true_proof"]
    assert (gauge.wine_gallons, gauge.proof_gallons) == (
        printed["wine_gallons"],
        printed["proof_gallons"],
    )
    assert gauge.steps[0] == "Table 1: 92 at 75 F is 85.5 proof (printed, 27 CFR 30.64)"
    assert gauge.steps[2] == (
        "Table 4: 0.12676 wine gallons a pound at 85.5 apparent proof (printed, 27 CFR 30.64)"
    )


def test_a_package_with_solids():
    """27 CFR 30.62: 334 lb net, apparent 96.0, obscuration 0.8."""
    given, printed = row("t2-334-960")
    gauge = gauge_by_package(
        gross_lb=given["net_weight_lb"] + 100,
        tare_lb=100,
        reading=given["apparent_proof"],
        reading_temperature_f=60,
        obscuration=given["obscuration"],
    )
    assert gauge.proof == printed["true_proof"]
    assert gauge.wine_gallons == printed["wine_gallons"]
    assert gauge.proof_gallons == printed["proof_gallons"]


@pytest.mark.parametrize(("given", "printed"), rows("table3_proof_gallons"))
def test_table_3(given, printed):
    gauge = gauge_by_weight(net_lb=given["weight_lb"], proof=given["proof"], step="0.1")
    assert gauge.proof_gallons == printed["proof_gallons"]


def test_the_weight_of_a_hundred_gallons():
    """27 CFR 30.65."""
    _, printed = row("t5-ex-100wg")
    assert half_up(100 * pounds_per_wine_gallon(190), "0.01") == printed["net_weight_lb"]


@pytest.mark.parametrize(
    ("proof", "to_proof", "gallons"),
    [
        (112, 100, "12.43"),  # 27 CFR 30.66, which cuts 12.4276 to 12.42
        (191, 188, "1.89"),  # 27 CFR 30.66; the print cuts the quotient and gets 1.84
    ],
)
def test_water_to_reduce_a_hundred_gallons(proof, to_proof, gallons):
    found = water_to_reduce(100, proof, to_proof)
    assert abs(found - Decimal(gallons)) <= Decimal("0.01")


def test_water_to_reduce_by_weight_agrees():
    """27 CFR 30.64: 1,000 lb of 200 proof take 82.03 lb of water to come to 190."""
    gallons = water_to_reduce(1000 * wine_gallons_per_pound(200), 200, 190)
    # Volumes weighed in vacuum and pounds weighed in air part by a thousandth.
    assert abs(gallons * Decimal("8.32823") - Decimal("82.03")) < Decimal("0.1")


@pytest.mark.parametrize(("given", "printed"), rows("case_gallons"))
def test_cases_by_their_labels(given, printed):
    """Whole cases of the conversion table, and wine gallons of a lot to the hundredth."""
    gauge = gauge_by_cases(
        bottle_ml=given["bottle_mL"], bottles=given["bottles_per_case"], proof=100, step="0.000001"
    )
    assert gauge.proof_gallons == printed["wine_gallons_per_case"]
    assert gauge.wine_gallons == half_up(printed["wine_gallons_per_case"], "0.01")
    assert f"= {printed['liters_per_case']:f}".rstrip("0").rstrip(".") + " liters" in gauge.steps[0]


def test_a_liter_is_the_laws_part_of_a_gallon():
    """27 CFR 19.582."""
    gauge = gauge_by_cases(bottle_ml=1000, bottles=1, proof=100, step="0.000001")
    assert gauge.proof_gallons == row("metric-factor")[1]["wine_gallons"]


def test_a_lot_of_like_packages_is_rounded_before_it_is_multiplied():
    """27 CFR 19.289(c), (d): 52.37 gallons of 120 proof are 62.844, kept as 62.8 a package."""
    gauge = gauge_by_average(packages=10, wine_gallons_each="52.37", proof=120)
    assert gauge.proof_gallons == Decimal("628.0")
    assert gauge.wine_gallons == Decimal("523.70")


def test_obscuration_by_evaporation():
    given, printed = row("obsc-evap-0125")
    found = obscuration(given["residue_g_per_25mL"], apparent_proof=90)
    assert found == printed["obscuration_proof"]


@pytest.mark.parametrize(
    ("given", "rule"),
    [
        (row("solids-branch-400")[0], SolidsRule.OPTIONAL),
        (row("solids-branch-600")[0], SolidsRule.REQUIRED),
        (row("solids-branch-601")[0], SolidsRule.DISTIL),
    ],
)
def test_solids_decide_how_proof_is_found(given, rule):
    """27 CFR 30.31(b), (c) and 30.71."""
    assert solids_rule(given["solids_mg_per_100mL"]) is rule
