"""Degrees Brix and Plato as specific gravity, and back: one relation for both scales.

Bx = 182.46007 G^3 - 775.68212 G^2 + 1262.7794 G - 669.56218, with G the apparent specific gravity
20/20 °C: a fit to the sucrose table of the National Bureau of Standards, Circular 440, from 0 to
40 degrees, there good to 0.001 degree (the coefficients from memory). A Plato hydrometer reads the
same within 0.01 degree up to 20, which is less than the last decimal shown. Of what has fermented
both read below zero, where no table goes: the line is carried on to -5 as hydrometers of such
washes do (common practice, no source).
"""

from decimal import Decimal

from ledger.gauging import half_up

LOWEST, HIGHEST = Decimal(-5), Decimal(40)
PLACE = Decimal("0.0001")
# So written, with three decimals, a figure is rather a specific gravity than degrees.
NEAR_ONE = Decimal("0.97"), Decimal("1.2")
CUBE, SQUARE, LINE, REST = map(Decimal, ("182.46007", "-775.68212", "1262.7794", "-669.56218"))
STEPS = 5  # of Newton's method from the straight line: more than four decimals need


def degrees_of(gravity: Decimal) -> Decimal:
    """Degrees Brix or Plato of an apparent specific gravity 20/20 °C."""
    return ((CUBE * gravity + SQUARE) * gravity + LINE) * gravity + REST


def gravity_of(degrees: Decimal) -> Decimal:
    """The apparent specific gravity 20/20 °C of *degrees*, to four decimals, half up.

    Raises ValueError outside LOWEST to HIGHEST.
    """
    if not LOWEST <= degrees <= HIGHEST:
        raise ValueError(degrees)
    gravity = 1 + degrees / 250
    for _ in range(STEPS):
        slope = (3 * CUBE * gravity + 2 * SQUARE) * gravity + LINE
        gravity -= (degrees_of(gravity) - degrees) / slope
    return half_up(gravity, PLACE)


def is_on_the_scale(gravity: Decimal) -> bool:
    """Whether *gravity* can be told in degrees at all."""
    return gravity_of(LOWEST) <= gravity <= gravity_of(HIGHEST)
