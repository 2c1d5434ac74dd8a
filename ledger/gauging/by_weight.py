"""Gauging by weight: bulk on a scale, or one package by gross and tare (27 CFR 30.41 to 30.45)."""

from dataclasses import replace
from decimal import Decimal

from .figures import GaugingError, Number, amount, half_up
from .gauge import CENT, Gauge, multiply_out
from .proofing import Strength, find_strength
from .table1 import EDITION
from .table4 import proof_gallons_per_pound, wine_gallons_per_pound


def gauge_by_weight(
    *,
    net_lb: Number,
    proof: Number | None = None,
    reading: Number | None = None,
    reading_temperature_f: Number | None = None,
    obscuration: Number = 0,
    step: Number = "0.01",
) -> Gauge:
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


def gauge_by_package(
    *,
    gross_lb: Number,
    tare_lb: Number,
    proof: Number | None = None,
    reading: Number | None = None,
    reading_temperature_f: Number | None = None,
    obscuration: Number = 0,
    step: Number = "0.1",
) -> Gauge:
    """Gauge of one package [pounds gross and tare], 27 CFR 30.43 to 30.45: the net by weight.

    Raises GaugingError if the tare is above the gross weight.
    """
    gross = amount(gross_lb, name="gross weight", unit="lb")
    tare = amount(tare_lb, name="tare", unit="lb")
    if tare > gross:
        raise GaugingError(f"The tare, {tare:f} lb, is more than the gross weight, {gross:f} lb.")
    net = gross - tare
    weighed = gauge_by_weight(
        net_lb=net,
        proof=proof,
        reading=reading,
        reading_temperature_f=reading_temperature_f,
        obscuration=obscuration,
        step=step,
    )
    return replace(
        weighed,
        method="package",
        readings=(
            ("Gross weight", f"{gross:f} lb"),
            ("Tare", f"{tare:f} lb"),
            *weighed.readings[1:],
        ),
        steps=(f"{gross:f} lb gross - {tare:f} lb tare = {net:f} lb net", *weighed.steps),
    )


def _by_weight(
    net: Decimal, strength: Strength, step: Number
) -> tuple[Decimal, Decimal, tuple[str, ...]]:
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


def weigh_with_solids(
    net: Decimal, per_lb: Decimal, strength: Strength, step: Number
) -> tuple[Decimal, Decimal, tuple[str, ...]]:
    """(wine gallons, proof gallons, steps): gallons by the apparent, alcohol by the true proof."""
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
