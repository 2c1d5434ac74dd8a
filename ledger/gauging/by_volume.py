"""Gauging by volume: a calibrated tank or a meter, brought to 60 F (27 CFR 30.51, 30.67)."""

from .figures import Number, amount, half_up, plain
from .gauge import CENT, Gauge, multiply_out
from .proofing import find_strength
from .table7 import look_up


def gauge_by_volume(
    *,
    volume_gal: Number,
    temperature_f: Number = 60,
    proof: Number | None = None,
    reading: Number | None = None,
    reading_temperature_f: Number | None = None,
    obscuration: Number = 0,
    step: Number = "0.01",
) -> Gauge:
    """Gauge of a measured volume [gallons at `temperature_f`], 27 CFR 30.51 and 30.67.

    The volume at 60 F is rounded to 0.01 gallon before the proof multiplies it, as the
    example of 30.51 does. Raises GaugingError for readings that cannot be.
    """
    measured = amount(volume_gal, name="volume", unit="gallons")
    strength = find_strength(
        proof=proof,
        reading=reading,
        reading_temperature_f=reading_temperature_f,
        obscuration=obscuration,
    )
    factor = look_up(strength.true, temperature_f)
    at_60f = half_up(measured * factor.figure, CENT)
    total, product = multiply_out(wine_gallons=at_60f, proof=strength.true, step=step)
    shown, warmth = plain(factor.figure), plain(temperature_f)
    return Gauge(
        wine_gallons=at_60f,
        proof=strength.true,
        proof_gallons=total,
        method="volume",
        readings=(
            ("Volume", f"{measured:f} gal"),
            ("Temperature", f"{warmth} F"),
            *strength.readings,
        ),
        steps=(
            *strength.steps,
            f"Table 7: factor {shown} at {strength.true} proof, {warmth} F ({factor.edition})",
            f"{measured:f} gallons x {shown} = {at_60f} wine gallons at 60 F",
            product,
        ),
    )
