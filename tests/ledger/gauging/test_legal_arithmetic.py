"""The sums that the regulations work out by hand, against their own examples."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.gauging import (
    batch_proof_gallons,
    fill_weight,
    gallons_at_prevailing,
    gauge_by_heavy_weight,
    gauge_by_table6,
    gauge_by_weight,
    gravity_at_60f,
    half_up,
    proof_gallons,
    proof_gallons_per_pound,
    table3_parts,
    table3_proof_gallons,
    table3_wine_gallons,
    true_capacity,
    true_proof,
    wine_gallons_per_pound,
)

from .published import all_but, row, rows

weights = st.decimals(1, 90000, places=1)
proofs = st.decimals(2, 200, places=1)


@pytest.mark.parametrize("fahrenheit", range(41, 60, 3))
@pytest.mark.parametrize("reading", [20, 86, 100, 120, 160, 180])
def test_below_60_f_the_reading_is_below_the_true_proof(reading, fahrenheit):
    """27 CFR 30.22, for every temperature below."""
    assert row("rule-sign-cold")[1]["relation"] == "reading < true proof"
    assert reading < true_proof(reading, fahrenheit)


def test_table_3_is_added_part_by_part():
    """27 CFR 30.63."""
    given, printed = row("t3-sum-60378")
    asked = {"net_lb": given["weight_lb"], "proof": given["proof"]}
    assert [gallons for _, gallons in table3_parts(**asked)] == given["parts"]
    assert table3_proof_gallons(**asked) == printed["proof_gallons"]


def test_table_3_of_a_weight_with_a_decimal():
    """27 CFR 30.63: 32.7 + 2.2 + 0.1 + 0.1 = 35.1, and 35.1 / 0.86 = 40.8 wine gallons."""
    parts = table3_parts(net_lb="321.5", proof=86)
    assert [str(gallons) for _, gallons in parts] == ["32.7", "2.2", "0.1", "0.1"]
    assert table3_proof_gallons(net_lb="321.5", proof=86) == Decimal("35.1")
    assert table3_wine_gallons(net_lb="321.5", proof=86) == Decimal("40.8")


@given(weights, proofs)
def test_table_3_agrees_with_table_4_but_for_a_twentieth_a_part(net, proof):
    parts = table3_parts(net_lb=net, proof=proof)
    assert sum(pounds for pounds, _ in parts) == net
    exact = net * proof_gallons_per_pound(proof)
    found = table3_proof_gallons(net_lb=net, proof=proof)
    assert abs(found - exact) <= Decimal("0.05") * len(parts)


def test_a_gravity_hydrometer_is_corrected_by_the_factor_of_the_true_proof():
    """27 CFR 30.25."""
    given, printed = row("t7-ex-sg")
    found = gravity_at_60f(
        reading=given["sg_reading"],
        temperature_f=given["temperature_F"],
        proof=given["true_proof"],
    )
    assert found == printed["sg_60F"]


def test_a_gravity_reading_is_taken_to_the_nearest_subdivision():
    """27 CFR 30.24 and 30.25: every 0.0005."""
    near = gravity_at_60f(reading="1.15236", temperature_f=68, proof=115)
    assert near == gravity_at_60f(reading="1.1525", temperature_f=68, proof=115)


def test_liquor_heavier_than_water_by_weight():
    """27 CFR 30.41(b): 0.120074 / gravity at 60 F; the figures are invented, the sum is plain.

    5,000 x 0.120074 / 1.1 = 545.79 -> 545.8 wine gallons; x 0.70 = 382.06 -> 382.1.
    """
    gauge = gauge_by_heavy_weight(net_lb=5000, specific_gravity="1.1", proof=70)
    assert gauge.wine_gallons == Decimal("545.8")
    assert gauge.proof_gallons == Decimal("382.1")
    assert gauge.steps[0] == "5000 lb x 0.120074 / 1.1 = 545.8 wine gallons at 60 F"


@given(weights, st.decimals("1.0001", "1.25", places=4), proofs)
def test_heavier_liquor_has_fewer_gallons_than_its_weight_of_water(net, gravity, proof):
    gauge = gauge_by_heavy_weight(net_lb=net, specific_gravity=gravity, proof=proof)
    assert gauge.wine_gallons <= half_up(net * wine_gallons_per_pound(0), "0.1")
    exact = net * Decimal("0.120074") / gravity
    assert abs(gauge.wine_gallons - exact) <= Decimal("0.05")


def test_gallons_by_the_gravity_in_air():
    """27 CFR 30.66: 400 lb of 141 proof."""
    given, printed = row("t6-ex-400lb")
    gauge = gauge_by_table6(net_lb=given["weight_lb"], proof=given["proof"])
    assert f"= {printed['lb_per_gallon']} lb a gallon" in gauge.steps[1]
    assert gauge.steps[0].endswith("0.88862 at 141.0 proof (printed, 27 CFR 30.66)")
    assert gauge.wine_gallons == printed["wine_gallons"]
    assert gauge.proof_gallons == printed["proof_gallons"]


@given(st.decimals(1, 2000, places=1), proofs)
def test_tables_4_and_6_agree_on_a_weight(net, proof):
    by_6 = gauge_by_table6(net_lb=net, proof=proof)
    by_4 = gauge_by_weight(net_lb=net, proof=proof)
    assert abs(by_6.wine_gallons - by_4.wine_gallons) <= Decimal("0.02") + net / 10000


KNOWN_WEIGHTS = {"c44-200-10gal": "66.125 lb is printed 66.12, where its other halves go up"}


@pytest.mark.parametrize(("given", "printed"), rows("container_fill_weight"))
def test_pounds_and_ounces_to_fill_a_container(given, printed):
    """27 CFR 30.44(b), (c)."""
    found = fill_weight(wine_gallons=given["wine_gallons"], proof=given["proof"])
    assert (found.pounds, found.ounces) == (printed["pounds"], printed["ounces"])
    if "proof_gallons" in printed:
        total = proof_gallons(given["wine_gallons"], given["proof"])
        assert half_up(total, "0.1") == printed["proof_gallons"]


@pytest.mark.parametrize(
    ("given", "printed"), all_but(rows("container_fill_weight"), KNOWN_WEIGHTS)
)
def test_the_same_in_hundredths(given, printed):
    found = fill_weight(wine_gallons=given["wine_gallons"], proof=given["proof"])
    assert found.pounds_decimal == printed["pounds_decimal"]


def test_the_one_weight_that_is_printed_short():
    """27 CFR 30.44(b) prints 66.12 for 66 lb 2 oz."""
    assert fill_weight(wine_gallons=10, proof=200).pounds_decimal == Decimal("66.13")


@given(st.decimals("0.1", 10, places=2), proofs)
def test_a_filled_container_is_within_an_ounce_of_its_gallons(volume, proof):
    found = fill_weight(wine_gallons=volume, proof=proof)
    over = found.pounds + Decimal(found.ounces) / 16 - volume / wine_gallons_per_pound(proof)
    assert Decimal("-0.005") <= over <= Decimal("0.0676")
    assert 0 <= found.ounces < 16


def test_capacity_by_weight_and_the_uncorrected_reading():
    """27 CFR 30.62: 395 lb at a reading of 113.0."""
    assert gallons_at_prevailing(net_lb=395, uncorrected_reading=113) == Decimal("51.5")


def test_capacity_from_gallons_at_60_f():
    """27 CFR 30.67: 55.1 / 0.991."""
    found = true_capacity(gallons_at_60f="55.1", proof=190, temperature_f=76)
    assert found == Decimal("55.6")


@given(st.integers(1, 600), st.integers(40, 160), st.integers(40, 90))
def test_the_two_ways_to_capacity_agree(net, reading, fahrenheit):
    """Gallons as they stand by the reading as it stands, or at 60 F and then by Table 7."""
    proof = true_proof(reading, fahrenheit)
    straight = gallons_at_prevailing(net_lb=net, uncorrected_reading=reading)
    at_60f = net * wine_gallons_per_pound(proof)
    around = true_capacity(gallons_at_60f=at_60f, proof=proof, temperature_f=fahrenheit)
    assert abs(straight - around) <= Decimal("0.1") + Decimal(net) / 5000


def test_a_batch_of_spirits_wine_and_flavor():
    """27 CFR 19.246(c): wine of 14 and 19 percent counts as 28 and 38 proof."""
    given, printed = row("r19-246-total")
    found = batch_proof_gallons(
        spirits_pg=given["spirits_pg"],
        wines=[(given["wine14_wg"], 14), (given["wine19_wg"], 19)],
        flavors_pg=given["flavor_pg"],
    )
    assert found == printed["total_pg"]
