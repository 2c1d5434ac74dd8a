"""The tables against every cell and factor that the regulations print.

What the formula alone gives for each of them is checked in test_watchdog.
"""

from decimal import Decimal

import pytest

from ledger.gauging import (
    gravity_in_air,
    half_up,
    parts_of_water,
    pounds_per_proof_gallon,
    pounds_per_wine_gallon,
    proof_gallons_per_pound,
    specific_gravity,
    true_proof,
    volume_factor,
    wine_gallons_per_pound,
)
from ledger.gauging.table1 import interpolate as interpolate_table1
from ledger.gauging.table7 import interpolate as interpolate_table7

from .published import all_but, row, rows


@pytest.mark.parametrize(("given", "printed"), rows("table1_true_proof"))
def test_table_1_has_the_printed_cells(given, printed):
    found = true_proof(given["hydrometer_reading_proof"], given["temperature_F"])
    assert found == printed["true_proof"]


def test_table_1_is_read_between_cells_as_the_law_does():
    """27 CFR 30.23: printed cells in, the printed sum out, before and after rounding."""
    given, printed = row("interp-19285")
    reading = given["hydrometer_observed"] + given["hydrometer_correction"]
    warmth = given["thermometer_observed_F"] + given["thermometer_correction_F"]
    found = interpolate_table1(printed_cells(given["table1"]), reading, warmth)
    assert found == printed["unrounded_proof"]
    assert half_up(found, "0.1") == true_proof(reading, warmth) == printed["true_proof"]


def test_table_1_gives_the_web_pages_worked_example():
    """TTB proofing page: 80.32 at 20.2 C (68.36 F), 76.4 + 0.32 - 0.144."""
    cells = printed_cells({"80@68": "76.4", "81@68": "77.4", "80@69": "76.0"})
    found = interpolate_table1(cells, Decimal("80.32"), Decimal("68.36"))
    assert found == Decimal("76.576")
    assert true_proof("80.32", "68.36") == Decimal("76.6")


def printed_cells(cells):
    """A printed table, from {"reading@temperature": figure}."""
    return lambda one, fahrenheit: Decimal(cells[f"{one}@{fahrenheit}"])


@pytest.mark.parametrize("reading", range(1, 200, 7))
def test_a_hydrometer_reads_low_in_the_cold_and_high_in_the_warm(reading):
    """27 CFR 30.22."""
    assert true_proof(reading, 60) == reading
    if reading < 190:
        assert true_proof(reading, 45) > reading
    if reading > 10:
        assert true_proof(reading, 75) < reading


KNOWN_4 = {
    "t4-0-wg": "printed for water with a sixth decimal; checked below as the law's own constant",
}


@pytest.mark.parametrize(("given", "printed"), all_but(rows("table4_factor"), KNOWN_4))
def test_table_4_has_the_printed_factors(given, printed):
    if "wine_gallons_per_lb" in printed:
        assert wine_gallons_per_pound(given["proof"]) == printed["wine_gallons_per_lb"]
    else:
        assert proof_gallons_per_pound(given["proof"]) == printed["proof_gallons_per_lb"]


def test_water_has_the_laws_own_weight():
    """27 CFR 21.161 and 30.66 (8.32823 lb), 30.41 (0.120074 gallon)."""
    assert pounds_per_wine_gallon(0) == row("t5-water-air")[1]["lb_per_gallon_in_air"]
    assert wine_gallons_per_pound(0) == row("t4-0-wg")[1]["wine_gallons_per_lb"]


def test_table_4_at_190_proof_gives_the_printed_proof_gallons():
    """27 CFR 30.64 prints 0.27964."""
    assert proof_gallons_per_pound(190) == row("t4-ex-81000")[0]["pg_per_lb"]


@pytest.mark.parametrize(("given", "printed"), rows("table6_volumes"))
def test_table_6_has_the_printed_parts_of_water(given, printed):
    """Weight of the mixture less that of its absolute alcohol (gravity 0.7939, 27 CFR 30.11)."""
    proof = Decimal(given["proof"])
    computed = 100 * specific_gravity(proof) - proof / 2 * Decimal("0.7939")
    water = printed["water_parts_per_100"]
    assert parts_of_water(proof) == half_up(computed, "0.01") == water


def test_table_6_has_the_printed_gravity():
    """27 CFR 30.66."""
    given, printed = row("t6-sg-141")
    assert gravity_in_air(given["proof"]) == printed["specific_gravity_air_60_60"]


@pytest.mark.parametrize(
    ("given", "printed"), all_but(rows("table6_sg_air"), {"t6-sg-141": "above"})
)
def test_gravity_in_air_fits_what_the_printed_factors_imply(given, printed):
    """Worked back from five-decimal factors, so good to three in the fifth decimal."""
    found = specific_gravity(given["proof"], in_air=True)
    assert abs(found - printed["specific_gravity_air_60_60"]) <= Decimal("0.00003")


@pytest.mark.parametrize(("given", "printed"), rows("table7_factor"))
def test_table_7_has_the_printed_factors(given, printed):
    found = volume_factor(given["proof"], given["temperature_F"])
    assert half_up(found, "0.001") == printed["volume_factor_to_60F"]


@pytest.mark.parametrize(("given", "printed"), rows("table7_interpolation"))
def test_table_7_interpolates_the_shipped_cells(given, printed):
    assert volume_factor(given["proof"], given["temperature_F"]) == printed["factor"]


@pytest.mark.parametrize(("given", "printed"), rows("table7_interpolation"))
def test_table_7_is_read_between_cells_as_the_law_does(given, printed):
    cells = printed_cells(given["table7"])
    found = interpolate_table7(cells, Decimal(given["proof"]), Decimal(given["temperature_F"]))
    assert half_up(found, "0.0001") == printed["factor"]


@pytest.mark.parametrize(("given", "printed"), rows("table5_lb_per_gallon"))
def test_table_5_has_the_printed_weights(given, printed):
    assert pounds_per_wine_gallon(given["proof"]) == printed["lb_per_wine_gallon"]


def test_table_5_has_the_printed_weight_of_a_proof_gallon():
    """27 CFR 30.65: 100 proof gallons of 190 proof weigh 357.60 lb."""
    assert pounds_per_proof_gallon(190) == Decimal("3.57597")
