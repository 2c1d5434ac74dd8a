"""The ways to gauge spirits: by volume, by weight, by package, by cases, by average content."""

from decimal import Decimal

from .figures import GaugingError, amount, count, half_up, plain, proof_figure
from .gauge import Gauge, multiply_out
from .sounding import find_strength
from .table1 import EDITION
from .table4 import proof_gallons_per_pound, wine_gallons_per_pound
from .table7 import volume_factor

WINE_GALLONS_PER_LITER = Decimal("0.264172")  # 27 CFR 19.582
CENT = "0.01"


def gauge_by_volume(
    *,
    volume_gal,
    temperature_f=60,
    proof=None,
    reading=None,
    reading_temperature_f=None,
    obscuration=0,
    step="0.01",
):
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
    factor = volume_factor(strength.true, temperature_f)
    at_60f = half_up(measured * factor, CENT)
    total, product = multiply_out(wine_gallons=at_60f, proof=strength.true, step=step)
    shown = plain(factor)
    return Gauge(
        wine_gallons=at_60f,
        proof=strength.true,
        proof_gallons=total,
        method="volume",
        readings=(
            ("Volume", f"{measured:f} gal"),
            ("Temperature", f"{temperature_f} F"),
            *strength.readings,
        ),
        steps=(
            *strength.steps,
            f"Table 7: factor {shown} at {strength.true} proof, {temperature_f} F ({EDITION})",
            f"{measured:f} gallons x {shown} = {at_60f} wine gallons at 60 F",
            product,
        ),
    )


def gauge_by_weight(
    *,
    net_lb,
    proof=None,
    reading=None,
    reading_temperature_f=None,
    obscuration=0,
    step="0.01",
):
    """Gauge of a net weight [pounds], 27 CFR 30.41 and 30.64. Raises GaugingError.

    Without solids proof gallons = pounds x Table 4's proof gallons a pound. With solids, wine
    gallons come from the apparent proof, rounded to `step` (30.64 rounds them to 0.1 where
    proof gallons go to 0.1), and the true proof multiplies them.
    """
    net = amount(net_lb, name="net weight", unit="lb")
    strength = find_strength(
        proof=proof,
        reading=reading,
        reading_temperature_f=reading_temperature_f,
        obscuration=obscuration,
    )
    volume, total, steps = _by_weight(net, strength, step)
    return Gauge(
        wine_gallons=volume,
        proof=strength.true,
        proof_gallons=total,
        method="weight",
        readings=(("Net weight", f"{net:f} lb"), *strength.readings),
        steps=(*strength.steps, *steps),
    )


def gauge_by_package(*, gross_lb, tare_lb, step="0.1", **strength):
    """Gauge of one package [pounds gross and tare], 27 CFR 30.43 to 30.45: the net by weight.

    Takes the strength arguments of gauge_by_weight. Raises GaugingError if the tare is above
    the gross weight.
    """
    gross = amount(gross_lb, name="gross weight", unit="lb")
    tare = amount(tare_lb, name="tare", unit="lb")
    if tare > gross:
        raise GaugingError(f"The tare, {tare:f} lb, is more than the gross weight, {gross:f} lb.")
    net = gross - tare
    weighed = gauge_by_weight(net_lb=net, step=step, **strength)
    return Gauge(
        wine_gallons=weighed.wine_gallons,
        proof=weighed.proof,
        proof_gallons=weighed.proof_gallons,
        method="package",
        readings=(
            ("Gross weight", f"{gross:f} lb"),
            ("Tare", f"{tare:f} lb"),
            *weighed.readings[1:],
        ),
        steps=(f"{gross:f} lb gross - {tare:f} lb tare = {net:f} lb net", *weighed.steps),
    )


def gauge_by_cases(*, bottle_ml, bottles, proof, step="0.01"):
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


def gauge_by_average(*, packages, wine_gallons_each, proof, step="0.1"):
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


def _by_weight(net, strength, step):
    """(wine gallons, proof gallons, steps) of a net weight by Table 4."""
    per_lb = wine_gallons_per_pound(strength.apparent)
    if strength.is_obscured:
        return weigh_with_solids(net, per_lb, strength, step)
    proof_per_lb = proof_gallons_per_pound(strength.true)
    volume, total = half_up(net * per_lb, CENT), half_up(net * proof_per_lb, step)
    return (
        volume,
        total,
        (
            f"Table 4: {per_lb} wine gallons and {proof_per_lb} proof gallons a pound "
            f"at {strength.true} proof ({EDITION})",
            f"{net:f} lb x {per_lb} = {volume} wine gallons at 60 F",
            f"{net:f} lb x {proof_per_lb} = {total} proof gallons",
        ),
    )


def weigh_with_solids(net, per_lb, strength, step):
    volume = half_up(net * per_lb, step)
    total, product = multiply_out(wine_gallons=volume, proof=strength.true, step=step)
    return (
        half_up(volume, CENT),
        total,
        (
            f"Table 4: {per_lb} wine gallons a pound at {strength.apparent} apparent proof "
            f"({EDITION})",
            f"{net:f} lb x {per_lb} = {volume} wine gallons at 60 F",
            product,
        ),
    )
