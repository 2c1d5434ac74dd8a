"""What must hold for any spirits: conservation, order, and two roads to one result."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.gauging import (
    blend,
    density,
    gauge_by_volume,
    gauge_by_weight,
    half_up,
    pounds_per_wine_gallon,
    proof_gallons,
    proof_of,
    specific_gravity,
    true_proof,
    volume_factor,
    water_to_reduce,
    wine_gallons_per_pound,
)
from ledger.gauging.strength import fraction_from_proof
from ledger.gauging.table1 import TABLE_1
from ledger.gauging.table7 import TABLE_7

proofs = st.decimals(0, 200, places=1)
strong = st.decimals(20, 200, places=1)
volumes = st.decimals("0.1", 10000, places=2)
parts = st.lists(st.tuples(volumes, proofs), min_size=1, max_size=5)


@given(proofs, st.booleans())
def test_gravity_and_proof_are_each_others_inverse(proof, in_air):
    assert abs(proof_of(specific_gravity(proof, in_air), in_air) - proof) <= Decimal("0.001")


@given(proofs, st.decimals("0.1", 20, places=1))
def test_stronger_is_lighter(proof, more):
    stronger = min(proof + more, Decimal(200))
    if stronger > proof:
        assert specific_gravity(stronger) < specific_gravity(proof)
        assert wine_gallons_per_pound(stronger) >= wine_gallons_per_pound(proof)


@given(st.integers(1, 195), st.integers(42, 99))
def test_table_1_rises_with_the_reading_and_falls_with_the_temperature(reading, fahrenheit):
    """From 42 F on: water is densest at 39 F and swells as fast as the glass (25e-6 a degree C,
    from memory) only at 42 F, so weak and colder spirits have no such order.
    """
    assert TABLE_1.at(reading + 1, fahrenheit).figure > TABLE_1.at(reading, fahrenheit).figure
    assert TABLE_1.at(reading, fahrenheit + 1).figure <= TABLE_1.at(reading, fahrenheit).figure


@given(proofs)
def test_at_60_f_nothing_is_corrected(proof):
    assert true_proof(proof, 60) == proof
    assert volume_factor(proof, 60) == 1


@given(st.integers(4, 40), st.integers(20, 49))
def test_spirits_swell_with_warmth(fives, twos):
    """In the table's own cells; between them the law's rule can step back by its last digit."""
    warmer, colder = TABLE_7.at(fives * 5, twos * 2 + 2), TABLE_7.at(fives * 5, twos * 2)
    assert warmer.figure <= colder.figure


@given(proofs, st.decimals(0, 100, places=1))
def test_table_7_stays_near_the_ratio_of_densities(proof, fahrenheit):
    """Cells to three decimals and a fifth of their difference: never two thousandths off."""
    fraction = fraction_from_proof(float(proof))
    warm, standard = (
        density(fraction, (degrees - 32) * Decimal(5) / 9) for degrees in (fahrenheit, 60)
    )
    assert abs(volume_factor(proof, fahrenheit) - warm / standard) < Decimal("0.002")


@given(parts)
def test_a_blend_keeps_its_alcohol_and_its_weight(poured):
    volume, proof = blend(poured)
    alcohol = sum(proof_gallons(*part) for part in poured)
    weight = sum(gallons * specific_gravity(strength) for gallons, strength in poured)
    assert abs(proof_gallons(volume, proof) - alcohol) <= Decimal("0.001")
    assert abs(volume * specific_gravity(proof) - weight) <= Decimal("0.001")


@given(volumes, volumes, st.integers(160, 200))
def test_strong_spirits_and_water_shrink_on_mixing(water, spirits, proof):
    """By 3.6 % at the most (OIML R 22). Weak spirits do not: they even swell by a trace."""
    volume, _ = blend([(spirits, proof), (water, 0)])
    assert (water + spirits) * Decimal("0.963") < volume < water + spirits


@given(parts, parts)
def test_a_blend_of_blends_is_the_blend(first, second):
    volume, proof = blend([blend(first), blend(second)])
    whole_volume, whole_proof = blend(first + second)
    # Each blend's proof is kept to six decimals: that is worth 1e-8 of the volume.
    assert abs(volume - whole_volume) <= Decimal("0.00001") + volume * Decimal("0.00000002")
    assert abs(proof - whole_proof) <= Decimal("0.00002")


@given(volumes, proofs)
def test_a_blend_of_one_is_itself(volume, proof):
    found_volume, found_proof = blend([(volume, proof)])
    assert abs(found_volume - volume) <= Decimal("0.0001")
    assert abs(found_proof - proof) <= Decimal("0.0001")


@given(volumes, strong, st.decimals(10, 200, places=1))
def test_reduced_spirits_come_out_at_the_wanted_proof(volume, proof, wanted):
    wanted = min(wanted, proof)
    water = water_to_reduce(volume, proof, wanted)
    reduced, found = blend([(volume, proof), (water, 0)])
    assert abs(found - wanted) < Decimal("0.01")
    assert abs(proof_gallons(reduced, found) - proof_gallons(volume, proof)) < Decimal("0.001")


@given(volumes, strong)
def test_spirits_at_the_wanted_proof_need_no_water(volume, proof):
    assert water_to_reduce(volume, proof, proof) == 0


@given(volumes, st.integers(160, 200), st.integers(10, 150))
def test_strong_spirits_need_more_water_than_the_rule_of_thumb_says(volume, proof, wanted):
    """Volume x proof / wanted - volume forgets that the mixture shrinks."""
    assert water_to_reduce(volume, proof, wanted) > volume * proof / wanted - volume


@given(st.decimals(1, 5000, places=2), strong)
def test_volume_and_weight_agree(volume, proof):
    """A lot weighed by Table 5 is the lot gauged in the tank, but for the fifth decimal."""
    by_volume = gauge_by_volume(volume_gal=volume, proof=proof)
    by_weight = gauge_by_weight(net_lb=volume * pounds_per_wine_gallon(proof), proof=proof)
    allowed = Decimal("0.02") + volume * Decimal("0.0001")
    assert abs(by_volume.wine_gallons - by_weight.wine_gallons) <= allowed
    assert abs(by_volume.proof_gallons - by_weight.proof_gallons) <= 2 * allowed


@given(st.decimals(-1000, 1000, places=4), st.sampled_from(["0.1", "0.01", "1"]))
def test_half_up_is_within_half_a_step_and_lands_on_one(value, step):
    rounded, size = half_up(value, step), Decimal(step)
    assert abs(rounded - value) <= size / 2
    assert rounded % size == 0


@pytest.mark.parametrize(
    ("value", "step", "rounded"),
    [
        # 27 CFR 30.23: under five drops, five or over adds a unit.
        ("189.949", "0.1", "189.9"),
        ("189.95", "0.1", "190.0"),
        # 27 CFR 30.44(b): 13.625 and 6.625 are printed 13.63 and 6.63.
        ("13.625", "0.01", "13.63"),
        (6.625, "0.01", "6.63"),
        (0.05, "0.1", "0.1"),
        ("-0.04", "0.1", "0.0"),
        ("-1e-26", "0.1", "0.0"),
        ("1e-40", "0.01", "0.00"),
    ],
)
def test_a_half_goes_up_even_where_binary_would_drop_it(value, step, rounded):
    assert str(half_up(value, step)) == rounded


@pytest.mark.parametrize(
    ("volume_1", "volume_2", "mixed"),
    [
        # Equal volumes of 200 proof and water keep about 96.5 % of the room; a school
        # laboratory measures 96.3 (both read at 20 C).
        (50, 50, "96.4"),
        # 40 + 60 leave 96.7 in a chemistry course's table.
        (40, 60, "96.7"),
    ],
)
def test_mixing_shrinks_as_the_laboratory_sees(volume_1, volume_2, mixed):
    volume, _ = blend([(volume_1, 200), (volume_2, 0)])
    assert abs(volume - Decimal(mixed)) <= Decimal("0.2")
