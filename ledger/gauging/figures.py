"""Figures in and figures out: exact decimals, refused with one plain sentence when they cannot be.

The gauging rules round half up ("five or over adds a unit", 27 CFR 30.23), which binary
fractions break (13.625, 0.05), so everything that a rule rounds is a Decimal.
"""

from decimal import ROUND_HALF_UP, Decimal, InvalidOperation

Number = int | float | str | Decimal

LARGEST = Decimal(10) ** 9
DIGITS = 15  # before the point, or after it in a reading: more is a slip of the pen
HIGHEST_PROOF = Decimal(200)


class GaugingError(ValueError):
    """A figure that cannot be gauged with; the message is one sentence for people."""


def half_up(value: Number, step: Number) -> Decimal:
    """Round `value` to the nearest multiple of a decimal `step` ("0.1"), a half going up.

    Negative values round away from zero at the half. Source: 27 CFR 30.23, 30.31(a), 30.71.
    """
    rounded = exact(value, name="figure").quantize(Decimal(str(step)), rounding=ROUND_HALF_UP)
    return rounded if rounded else abs(rounded)


def exact(value: Number, *, name: str) -> Decimal:
    """The Decimal of an int, float, Decimal or numeric text; GaugingError if it is none."""
    text = str(value).strip()
    shown = text if len(text) <= 20 else text[:20] + "..."
    if isinstance(value, bool) or "_" in text:
        raise GaugingError(f"The {name} is not a number: {shown}.")
    try:
        number = Decimal(text)
    except InvalidOperation:
        raise GaugingError(f"The {name} is not a number: {shown or 'nothing was given'}.") from None
    if not number.is_finite() or (number and number.adjusted() > DIGITS):
        raise GaugingError(f"The {name} is not a number that can be measured: {shown}.")
    return number


def measured(value: Number, *, name: str) -> Decimal:
    """A figure that an instrument could show: an exact one that is not absurdly small."""
    number = exact(value, name=name)
    if number and number.adjusted() < -DIGITS:
        raise GaugingError(f"The {name} is too small to be measured: {number:.10g}.")
    return number


def between(value: Number, low: Number, high: Number, *, name: str, unit: str = "") -> Decimal:
    """The Decimal of `value` if it lies from `low` to `high`; GaugingError otherwise."""
    number = measured(value, name=name)
    if not Decimal(low) <= number <= Decimal(high):
        span = f"{plain(low)} to {plain(high)} {unit}".rstrip()
        raise GaugingError(f"The {name} must be from {span}; {number:.10g} was given.")
    return number


def amount(value: Number, *, name: str, unit: str) -> Decimal:
    """A quantity that cannot be negative."""
    number = measured(value, name=name)
    if number < 0:
        raise GaugingError(f"The {name} cannot be below zero; {number:.10g} {unit} was given.")
    if number > LARGEST:
        raise GaugingError(f"The {name} is too large to be a gauge: {number:.10g} {unit}.")
    return number


def count(value: Number, *, name: str) -> Decimal:
    """A whole number of things, one or more."""
    number = amount(value, name=name, unit="pieces")
    if number < 1 or number != number.to_integral_value():
        raise GaugingError(
            f"The {name} must be a whole number, one or more; {number:.10g} was given."
        )
    return number


def proof_figure(value: Number, *, name: str = "proof") -> Decimal:
    """A proof from 0 to 200 (27 CFR 30.11, 30.22)."""
    return between(value, 0, HIGHEST_PROOF, name=name)


def from_float(value: float, places: int) -> Decimal:
    """A computed float as a Decimal of `places` decimals."""
    return half_up(repr(float(value)), Decimal(1).scaleb(-places))


def plain(number: Number) -> str:
    """The shortest ordinary writing of a number: 0.9960 as 0.996, 1E+2 as 100."""
    text = f"{Decimal(number):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
