"""A gauge tells how it was found, adds up as shown, and needs no framework."""

import dataclasses
import subprocess
import sys
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.gauging import (
    gauge_by_average,
    gauge_by_cases,
    gauge_by_package,
    gauge_by_volume,
    gauge_by_weight,
    half_up,
)

GAUGES = {
    "volume": gauge_by_volume(
        volume_gal="250.5", temperature_f="71.5", reading="118.35", reading_temperature_f="70.2"
    ),
    "weight": gauge_by_weight(net_lb="1820", proof="120", obscuration="0.4"),
    "package": gauge_by_package(gross_lb="518.5", tare_lb="106", proof="124.3"),
    "cases": gauge_by_cases(bottle_ml=750, bottles=144, proof="86"),
    "average": gauge_by_average(packages=12, wine_gallons_each="52.3", proof="119.8"),
}


@pytest.mark.parametrize("method", GAUGES)
def test_it_names_its_method_readings_and_steps(method):
    gauge = GAUGES[method]
    assert gauge.method == method
    assert all(isinstance(label, str) and isinstance(text, str) for label, text in gauge.readings)
    assert str(gauge.proof_gallons) in gauge.steps[-1]
    assert gauge.wine_gallons == gauge.wine_gallons.quantize(Decimal("0.01"))
    assert gauge.proof == gauge.proof.quantize(Decimal("0.1"))


@pytest.mark.parametrize("method", ["volume", "weight", "package"])
def test_its_steps_say_that_the_table_was_computed(method):
    assert any("computed table, OIML R 22" in step for step in GAUGES[method].steps)


def test_it_cannot_be_changed():
    with pytest.raises(dataclasses.FrozenInstanceError):
        GAUGES["cases"].proof = Decimal(1)


def test_it_shows_the_hydrometer_before_the_proof():
    steps = GAUGES["volume"].steps
    assert steps[0].startswith("Table 1: 118.35 at 70.2 F is ")
    assert steps[1].startswith("Table 7: factor ")
    assert ("Hydrometer reading", "118.35") in GAUGES["volume"].readings


def test_gallons_follow_the_apparent_proof_and_alcohol_the_true_one():
    """27 CFR 30.62, 30.64; the true proof given, the apparent one is lower by the obscuration."""
    hidden = gauge_by_weight(net_lb=1000, proof=90, obscuration=2)
    clear = gauge_by_weight(net_lb=1000, proof=88)
    assert hidden.proof == 90
    assert hidden.wine_gallons == clear.wine_gallons
    assert hidden.proof_gallons == half_up(clear.wine_gallons * Decimal("0.9"), "0.01")


def test_a_reading_with_obscuration_is_the_same_gauge_as_its_true_proof():
    by_reading = gauge_by_weight(
        net_lb=400, reading=92, reading_temperature_f=75, obscuration="0.5"
    )
    assert (
        by_reading.proof_gallons
        == gauge_by_weight(net_lb=400, proof=86, obscuration="0.5").proof_gallons
    )


def test_an_empty_vessel_is_a_gauge_too():
    assert gauge_by_volume(volume_gal=0, proof=100).proof_gallons == 0


def test_a_package_is_gauged_to_a_tenth_and_bulk_to_a_hundredth():
    """27 CFR 19.289(d), 30.63, 30.64 for the tenth; the book's hundredth for the rest."""
    assert GAUGES["package"].proof_gallons.as_tuple().exponent == -1
    assert GAUGES["weight"].proof_gallons.as_tuple().exponent == -2


@given(st.integers(1, 10**6), st.sampled_from([50, 375, 750, 1000, 1750]), st.integers(1, 200))
def test_case_gallons_are_the_plain_product(bottles, bottle_ml, proof):
    """27 CFR 19.582: liters x 0.264172; unrounded until the proof gallons."""
    gauge = gauge_by_cases(bottle_ml=bottle_ml, bottles=bottles, proof=proof)
    exact = Decimal(bottles * bottle_ml * proof) * Decimal("0.264172") / 100_000
    assert abs(gauge.proof_gallons - exact) <= Decimal("0.005")


def test_a_full_barrel_weighs_what_the_trade_expects():
    """A 53-gallon barrel holds 410 to 420 lb of entry-proof spirit: common practice, no source."""
    gauge = gauge_by_package(gross_lb=520, tare_lb=105, proof=120)
    assert 53 <= gauge.wine_gallons <= 55


def test_it_needs_no_framework_and_no_registry_of_units():
    program = (
        "import sys, ledger.gauging as g; g.true_proof('192.82', '72.15'); "
        "assert not {'django', 'pint', 'sqlite3', 'datetime'} & set(sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0
