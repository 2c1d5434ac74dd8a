"""The formula against the printed cells, and printed cells over computed ones."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.gauging import (
    GRIDS,
    GaugingError,
    Printed,
    distance,
    gauge_by_volume,
    gauge_by_weight,
    half_up,
    true_proof,
    using,
    volume_factor,
    wine_gallons_per_pound,
)
from ledger.gauging.printed_cells import SHIPPED

# What the formula gives where its last digit is not the printed one; sections as shipped.
KNOWN_DIFFERENCES = {
    ("4 wine", Decimal("85.5")): "0.12675",
    ("5 wine", 190): "6.79447",
    ("5 proof", 190): "3.57604",
    ("6 air", 141): "0.88866",
    ("7", 110, 48): "1.006",
}


@pytest.mark.parametrize("key", SHIPPED, ids=str)
def test_no_shipped_cell_is_doubtful(key):
    name, *place = key
    assert not distance(name, *place, figure=SHIPPED[key].figure).is_doubtful


@pytest.mark.parametrize("key", SHIPPED, ids=str)
def test_the_formula_gives_the_printed_digits_but_for_the_named_cells(key):
    name, *place = key
    computed = half_up(GRIDS[name].formula(*place), GRIDS[name].step)
    expected = KNOWN_DIFFERENCES.get(key, SHIPPED[key].figure)
    assert computed == Decimal(expected)


@pytest.mark.parametrize("key", KNOWN_DIFFERENCES, ids=str)
def test_a_printed_cell_wins_over_the_formula(key):
    name, *place = key
    cell = GRIDS[name].at(*place)
    assert cell.figure == SHIPPED[key].figure != Decimal(KNOWN_DIFFERENCES[key])
    assert cell.edition == f"printed, {SHIPPED[key].source}"


@pytest.mark.parametrize(
    ("key", "place", "slip"),
    [
        ("1", (193, 72), "109.2"),  # for 190.2: two digits exchanged
        ("4 wine", (190,), "0.14781"),
        ("7", (110, 48), "1.050"),
    ],
)
def test_a_slip_of_the_pen_is_doubtful(key, place, slip):
    assert distance(key, *place, figure=slip).is_doubtful


def test_where_no_limit_is_known_nothing_is_doubtful():
    """No cell below 50 F is printed in 27 CFR part 30."""
    assert distance("1", 100, 20, figure=90).limit is None
    assert not distance("6 air", 100, figure="0.9").is_doubtful


def test_it_says_which_tables_there_are():
    with pytest.raises(GaugingError, match="No table is called 9; there are 1, 4 wine"):
        distance("9", 1, figure=1)


@pytest.mark.parametrize(
    ("key", "place"), [("7", (111, 48)), ("7", (110, 47)), ("7", (110,)), ("4 wine", (201,))]
)
def test_a_place_off_the_grid_has_no_cell(key, place):
    with pytest.raises(GaugingError, match="has no cell at"):
        distance(key, *place, figure=1)


def test_every_shipped_cell_is_on_its_grid():
    assert all(GRIDS[name].has(*place) for name, *place in SHIPPED)


def test_handed_in_cells_hold_as_long_as_the_block():
    before = volume_factor(85, 72)
    with using({("7", 85, 72): Printed(Decimal("0.994"), "the plant's own copy")}):
        assert volume_factor(85, 72) == Decimal("0.994")
        gauge = gauge_by_volume(volume_gal=100, temperature_f=72, proof=85)
        assert gauge.steps[0] == (
            "Table 7: factor 0.994 at 85.0 proof, 72 F (printed, the plant's own copy)"
        )
        assert volume_factor(110, 48) == Decimal("1.005")
    assert volume_factor(85, 72) == before


def test_a_figure_between_cells_names_each_edition():
    gauge = gauge_by_volume(volume_gal=100, temperature_f=76, proof=187)
    assert "(computed table, OIML R 22; printed, 27 CFR 30.67)" in gauge.steps[0]


def test_a_weight_gauge_keeps_its_two_editions_apart():
    """27 CFR 30.44 prints the wine gallons of 194 proof and no proof gallons."""
    steps = gauge_by_weight(net_lb=100, proof=194).steps
    assert steps[0].endswith("(printed, 27 CFR 30.44)")
    assert steps[1].endswith("(computed table, OIML R 22)")


@given(st.integers(1, 199), st.integers(1, 99), st.integers(-2, 2))
def test_any_printed_cell_is_what_table_1_gives(reading, fahrenheit, tenths):
    figure = Decimal(reading) + Decimal(tenths) / 10
    with using({("1", reading, fahrenheit): Printed(figure, "invented")}):
        assert true_proof(reading, fahrenheit) == figure


@given(st.decimals(1, 200, places=1), st.integers(-9, 9))
def test_distance_is_the_plain_difference(proof, hundred_thousandths):
    off = Decimal(hundred_thousandths) / 100_000
    found = distance("4 wine", proof, figure=GRIDS["4 wine"].formula(proof) + off)
    assert abs(found.difference - off) < Decimal("1e-20")
    assert abs(wine_gallons_per_pound(proof) - found.computed) < Decimal("0.00002")
