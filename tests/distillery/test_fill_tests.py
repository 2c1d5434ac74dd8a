"""Tolerances of fill and alcohol with their edges, and what a filled bottle weighs."""

from decimal import Decimal

import pytest

from distillery.fill_tests import (
    allowed_pct,
    band,
    fill_of_grams,
    fill_of_volume,
    has_too_much_headspace,
    headspace_pct,
    is_fill_within,
    is_proof_within,
    net_grams,
    of_full,
    shown_ml,
    targets,
)
from ledger import gauging


# 27 CFR 19.356(b): 1.5 % at 1 L and above, 2 % from 999 down to 376 mL, 3 % from 375 down to
# 101 mL, 4.5 % at 100 mL and below.
@pytest.mark.parametrize(
    ("bottle_ml", "pct"),
    [
        (1750, "1.5"), (1000, "1.5"), (999, "2.0"), (750, "2.0"), (376, "2.0"), (375, "3.0"),
        (200, "3.0"), (101, "3.0"), (100, "4.5"), (50, "4.5"),
    ],
)  # fmt: skip
def test_the_fill_tolerance_goes_by_the_size(bottle_ml, pct):
    assert allowed_pct(bottle_ml) == Decimal(pct)


def test_a_750_holds_735_to_765():
    # 27 CFR 19.356(b): two per cent of 750 mL.
    assert band(750) == (735, 765)
    found = [is_fill_within(Decimal(ml), 750) for ml in ("734.99", "735", "765", "765.01")]
    assert found == [False, True, True, False]


def test_the_alcohol_may_be_three_tenths_off_either_way():
    # 27 CFR 19.356(d): a label of 40 per cent goes from 39.7 to 40.3 (79.4 to 80.6 proof).
    found = [is_proof_within(Decimal(p), Decimal(80)) for p in ("79.3", "79.4", "80.6", "80.7")]
    assert found == [False, True, True, False]


# Density of OIML R 22 at 60 F times 750 mL, weighed in air of 1.2 kg/m3 with brass of 8,000:
# 713.15 g of 80 proof show 712.4 g; the table's five digits stay within 0.1 g of it.
@pytest.mark.parametrize("proof", [80, 90, 100, 125])
def test_the_weight_is_that_of_the_density_in_air(proof):
    density = 1000 * gauging.specific_gravity(proof) * Decimal("0.999016")  # water at 60 F
    true = density * Decimal("0.75")
    in_air = true * (1 - Decimal("1.2") / density) / (1 - Decimal("1.2") / 8000)
    assert abs(net_grams(750, Decimal(proof)) - in_air) < Decimal("0.1")


def test_weight_and_fill_are_inverse():
    grams = net_grams(750, Decimal(90))
    assert abs(fill_of_grams(grams, Decimal(90)) - 750) < Decimal("0.06")


def test_a_warm_room_shows_more():
    # Table 7 (27 CFR 30.67) at 80 proof and 68 F: factor 0.997; 750 / 0.997 = 752.3 mL.
    assert shown_ml(750, Decimal(80), Decimal(68)) == Decimal("752.3")
    assert fill_of_volume(Decimal("752.3"), Decimal(80), Decimal(68)) == Decimal("750.04")


def test_the_targets_are_the_band_in_grams():
    low, target, high = targets(750, Decimal(80), Decimal(60))
    assert (low.fill_ml, target.fill_ml, high.fill_ml) == (735, 750, 765)
    # 735 and 765 mL of 80 proof at 0.9498 g a milliliter in air
    assert (low.net_g, high.net_g) == (Decimal("698.1"), Decimal("726.6"))
    assert target.gross_g(Decimal("480.5")) == target.net_g + Decimal("480.5")


def test_per_cent_of_full_fill():
    # 27 CFR 19.600: per cent of variation from 100 per cent fill.
    assert of_full(Decimal("745.5"), 750) == Decimal("99.40")


def test_head_space_above_eight_per_cent_from_200_ml_on():
    # 27 CFR 5.202(b)
    assert headspace_pct(750, 800) == Decimal("6.3")
    assert not has_too_much_headspace(750, 815)  # 7.98 %
    assert has_too_much_headspace(750, 816)  # 8.09 %
    assert not has_too_much_headspace(187, 250)
    assert not has_too_much_headspace(92, 100)
    assert not has_too_much_headspace(920, 1000)  # exactly 8 %
