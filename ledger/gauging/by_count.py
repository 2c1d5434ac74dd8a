"""Gauging by count: full bottles by their labels, like packages by their average content."""

from decimal import Decimal

from .figures import Number, amount, count, half_up, plain, proof_figure
from .gauge import CENT, Gauge, multiply_out

WINE_GALLONS_PER_LITER = Decimal("0.264172")  # 27 CFR 19.582


def gauge_by_cases(
    *, bottle_ml: Number, bottles: Number, proof: Number, step: Number = "0.01"
) -> Gauge:
    """Gauge of full bottles from their labels, 27 CFR 19.286, 19.582 and 30.52.

    Liters x 0.264172 are carried unrounded into the proof gallons, so that cases add up; wine
    gallons are shown to 0.01. Raises GaugingError.
    """
    content = amount(bottle_ml, name="bottle size", unit="mL")
    number = count(bottles, name="number of bottles")
    label = half_up(proof_figure(proof), "0.1")
    liters = content * number / 1000
    volume = liters * WINE_GALLONS_PER_LITER
    total, product = multiply_out(wine_gallons=volume, proof=label, step=step)
    return Gauge(
        wine_gallons=half_up(volume, CENT),
        proof=label,
        proof_gallons=total,
        method="cases",
        readings=(
            ("Bottle", f"{plain(content)} mL"),
            ("Bottles", plain(number)),
            ("Proof at 60 F", plain(label)),
        ),
        steps=(
            f"{plain(number)} bottles x {plain(content)} mL = {plain(liters)} liters",
            f"{plain(liters)} liters x {WINE_GALLONS_PER_LITER} = {plain(volume)} wine gallons",
            product,
        ),
    )


def gauge_by_average(
    *, packages: Number, wine_gallons_each: Number, proof: Number, step: Number = "0.1"
) -> Gauge:
    """Gauge of a lot of like packages, 27 CFR 19.289(c) and (d). Raises GaugingError.

    The average content is rounded to `step` proof gallons and multiplied by the packages.
    """
    number = count(packages, name="number of packages")
    each = amount(wine_gallons_each, name="average content", unit="gallons")
    strength = half_up(proof_figure(proof), "0.1")
    content, product = multiply_out(wine_gallons=each, proof=strength, step=step)
    total = content * number
    return Gauge(
        wine_gallons=half_up(each * number, CENT),
        proof=strength,
        proof_gallons=total,
        method="average",
        readings=(
            ("Packages", plain(number)),
            ("Wine gallons in each", plain(each)),
            ("Proof at 60 F", plain(strength)),
        ),
        steps=(
            f"Each: {product}",
            f"{plain(number)} packages x {content} = {total} proof gallons",
        ),
    )
