"""How fine a scale must read, how little it may weigh, and how a weight is kept."""

from decimal import Decimal

import pytest

from ledger.gauging import (
    GaugingError,
    largest_graduation,
    package_weight,
    smallest_weighing,
)

from .published import rows


@pytest.mark.parametrize(("given", "printed"), rows("scale_graduation"))
def test_a_scale_tank_has_graduations_as_fine_as_its_size_asks(given, printed):
    """27 CFR 19.184(a): over the one capacity, up to the other."""
    for capacity in (given["over_lb"] + 1, given["up_to_lb"]):
        assert largest_graduation(capacity) == printed["max_graduation_lb"]


@pytest.mark.parametrize(("capacity", "graduation"), [(2001, 1), (6000, 1), (50001, 10)])
def test_the_other_two_sizes_of_scale(capacity, graduation):
    """27 CFR 19.184(a)."""
    assert largest_graduation(capacity) == graduation


@pytest.mark.parametrize(
    ("capacity", "graduation", "lightest"),
    [
        (2000, "0.5", 0),
        (6000, 1, 1000),  # 1,000 graduations are more than 5 percent, 300 lb
        (50000, 2, 2500),  # 5 percent is more than 1,000 graduations
    ],
)
def test_the_smallest_weight_a_scale_may_weigh_for_tax(capacity, graduation, lightest):
    """27 CFR 19.184."""
    found = smallest_weighing(capacity_lb=capacity, graduation_lb=graduation)
    assert found == lightest


@pytest.mark.parametrize(("capacity", "graduation"), [(2000, 1), (2000, 0)])
def test_a_scale_too_coarse_is_refused(capacity, graduation):
    with pytest.raises(GaugingError, match=r"graduations of 0\.5 lb or finer"):
        smallest_weighing(capacity_lb=capacity, graduation_lb=graduation)


@pytest.mark.parametrize(
    ("pounds", "gallons", "kept"),
    [("412.24", 53, "412.0"), ("412.25", 53, "412.5"), ("34.005", 10, "34.01")],
)
def test_package_weights_are_kept_in_halves_or_hundredths(pounds, gallons, kept):
    """27 CFR 30.44(a), (b)."""
    assert package_weight(pounds, capacity_gal=gallons) == Decimal(kept)
