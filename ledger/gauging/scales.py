"""Scales and weights: how fine a scale must read, and to what a package's weight is rounded."""

from decimal import Decimal

from .figures import GaugingError, Number, amount, half_up

# Capacity up to [lb], largest graduation [lb]; 27 CFR 19.184(a).
GRADUATIONS = ((2000, "0.5"), (6000, "1"), (20000, "2"), (50000, "5"))
ABOVE_ALL = Decimal(10)
LIGHTEST_SHARE, LIGHTEST_GRADUATIONS = Decimal("0.05"), 1000
SMALL_PACKAGE_GAL = 10


def largest_graduation(capacity_lb: Number) -> Decimal:
    """Largest graduation [lb] of a scale tank used for tax, by its capacity (27 CFR 19.184)."""
    capacity = _capacity(capacity_lb)
    for up_to, graduation in GRADUATIONS:
        if capacity <= up_to:
            return Decimal(graduation)
    return ABOVE_ALL


def smallest_weighing(*, capacity_lb: Number, graduation_lb: Number) -> Decimal:
    """Smallest weight [lb] that may be weighed for tax on a scale tank (27 CFR 19.184).

    Above 2,000 lb of capacity the larger of 1,000 graduations and 5 percent of the capacity;
    a smaller scale has no such limit. Raises GaugingError for a graduation too coarse.
    """
    capacity = _capacity(capacity_lb)
    graduation = amount(graduation_lb, name="graduation", unit="lb")
    allowed = largest_graduation(capacity)
    if not 0 < graduation <= allowed:
        raise GaugingError(
            f"A scale of {capacity:f} lb needs graduations of {allowed} lb or finer; "
            f"{graduation:f} was given."
        )
    if capacity <= GRADUATIONS[0][0]:
        return Decimal(0)
    return max(LIGHTEST_GRADUATIONS * graduation, LIGHTEST_SHARE * capacity)


def package_weight(pounds: Number, *, capacity_gal: Number) -> Decimal:
    """A package's weight as recorded (27 CFR 30.44).

    To half a pound above 10 gallons of capacity, to a hundredth of a pound up to it.
    """
    weight = amount(pounds, name="weight", unit="lb")
    if amount(capacity_gal, name="capacity", unit="gallons") > SMALL_PACKAGE_GAL:
        return half_up(weight * 2, "1") / 2
    return half_up(weight, "0.01")


def _capacity(capacity_lb: Number) -> Decimal:
    capacity = amount(capacity_lb, name="scale's capacity", unit="lb")
    if not capacity:
        raise GaugingError("A scale's capacity must be above zero.")
    return capacity
