"""Gauging by weight: bulk on a scale, or one package by gross and tare (27 CFR 30.41 to 30.45)."""

from dataclasses import replace
from decimal import Decimal

from .figures import GaugingError, Number, amount, half_up
from .gauge import CENT, Gauge, multiply_out
from .proofing import Strength, find_strength
from .table4 import proof_gallons_cell, wine_gallons_cell
from .tables import Cell


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
    wine = wine_gallons_cell(strength.apparent)
    if strength.is_obscured:
        return weigh_with_solids(net, wine, strength, step)
    proof = proof_gallons_cell(strength.true)
    volume, total = half_up(net * wine.figure, CENT), half_up(net * proof.figure, step)
    return (
        volume,
        total,
        (
            _factor_step(f"{wine.figure} wine gallons", strength.true, wine.edition),
            _factor_step(f"{proof.figure} proof gallons", strength.true, proof.edition),
            f"{net:f} lb x {wine.figure} = {volume} wine gallons at 60 F",
            f"{net:f} lb x {proof.figure} = {total} proof gallons",
        ),
    )


def _factor_step(factor: str, proof: Decimal, edition: str, kind: str = "proof") -> str:
    return f"Table 4: {factor} a pound at {proof} {kind} ({edition})"


def weigh_with_solids(
    net: Decimal, wine: Cell, strength: Strength, step: Number
) -> tuple[Decimal, Decimal, tuple[str, ...]]:
    """(wine gallons, proof gallons, steps): gallons by the apparent, alcohol by the true proof."""
    volume = half_up(net * wine.figure, step)
    total, product = multiply_out(wine_gallons=volume, proof=strength.true, step=step)
    factor = f"{wine.figure} wine gallons"
    return (
        half_up(volume, CENT),
        total,
        (
            _factor_step(factor, strength.apparent, wine.edition, "apparent proof"),
            f"{net:f} lb x {wine.figure} = {volume} wine gallons at 60 F",
            product,
        ),
    )
