"""How much liquid stands in a vessel at a depth: by its shape or by its strapping table.

Pure: depths and sizes in inches, volumes in gallons of 231 cubic inches (27 CFR 30.11). Every
volume is rounded once, half up, to 0.01 gallon, as the example of 27 CFR 30.51 keeps it.
Dished heads and leaning tanks follow no formula: they take a table found by filling.
"""

from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise
from math import acos, pi, sqrt

from ledger.gauging import half_up

CUBIC_INCHES_PER_GALLON = Decimal(231)  # 27 CFR 30.11
CENT = "0.01"

Row = tuple[Decimal, Decimal]


class StrappingError(ValueError):
    """A depth that cannot be turned into gallons; the message is one sentence for people."""


def upright_gal(depth_in: Decimal, *, diameter_in: Decimal) -> Decimal:
    """Gallons in an upright cylinder, pi D^2 h / 4: 24 in across holds 1.958 gallons an inch."""
    return half_up(_round_area(diameter_in) * depth_in / CUBIC_INCHES_PER_GALLON, CENT)


def lying_gal(depth_in: Decimal, *, diameter_in: Decimal, length_in: Decimal) -> Decimal:
    """Gallons in a lying cylinder with flat ends: its length times the segment under the liquid.

    Segment = R^2 acos((R - h) / R) - (R - h) sqrt(2 R h - h^2).
    """
    radius, depth = float(diameter_in) / 2, float(depth_in)
    refuse_above(depth_in, diameter_in)
    above = radius - depth
    segment = radius**2 * acos(above / radius) - above * sqrt(2 * radius * depth - depth**2)
    cubic = _decimal(segment) * length_in
    return half_up(cubic / CUBIC_INCHES_PER_GALLON, CENT)


def cone_bottomed_gal(
    depth_in: Decimal, *, diameter_in: Decimal, cone_depth_in: Decimal
) -> Decimal:
    """Gallons in a cylinder over a cone that points down, the depth counted from the point.

    In the cone the cube of the depth: (pi D^2 Hc / 12) (h / Hc)^3; above it an upright cylinder.
    """
    full = _round_area(diameter_in) * cone_depth_in / 3
    in_cone = min(depth_in, cone_depth_in)
    cubic = full * (in_cone / cone_depth_in) ** 3
    cubic += _round_area(diameter_in) * (depth_in - in_cone)
    return half_up(cubic / CUBIC_INCHES_PER_GALLON, CENT)


def by_table_gal(depth_in: Decimal, rows: Sequence[Row]) -> Decimal:
    """Gallons by a table of (depth [in], volume [gal]), between its rows in proportion.

    An empty vessel holds nothing, so the table starts at 0, 0 unless a row says otherwise.
    Raises StrappingError above the last row or without rows.
    """
    ordered = sorted(rows)
    if not ordered:
        raise StrappingError("The strapping table has no rows yet. Enter them under Plant.")
    if ordered[0][0] > 0:
        ordered.insert(0, (Decimal(0), Decimal(0)))
    refuse_above(depth_in, ordered[-1][0])
    for (low, below), (high, above) in pairwise(ordered):
        if low <= depth_in <= high:
            return half_up(below + (above - below) * (depth_in - low) / (high - low), CENT)
    return half_up(ordered[-1][1], CENT)


def _round_area(diameter_in: Decimal) -> Decimal:
    return _decimal(pi) * diameter_in**2 / 4


def _decimal(value: float) -> Decimal:
    return Decimal(repr(value))


def refuse_above(depth_in: Decimal, highest_in: Decimal) -> None:
    """Raise StrappingError for a depth above the highest that the strapping covers."""
    if depth_in > highest_in:
        raise StrappingError(
            f"A depth of {depth_in:f} in is above the strapping, which ends at {highest_in:f} in. "
            "Read the stick again, or mend the table under Plant."
        )
