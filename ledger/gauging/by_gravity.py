"""Gauging by specific gravity: liquors heavier than water, and gallons by Table 6."""

from decimal import Decimal

from .figures import Number, amount, between, half_up, plain, proof_figure
from .gauge import CENT, Gauge, multiply_out
from .table4 import WATER_GAL_PER_LB, WATER_LB_PER_GAL
from .table6 import gravity_cell
from .table7 import volume_factor

SUBDIVISION = Decimal("0.0005")  # 27 CFR 30.24
HEAVIEST = "1.25"


def gravity_at_60f(*, reading: Number, temperature_f: Number, proof: Number) -> Decimal:
    """Specific gravity at 60 F [0.0001] from a gravity hydrometer, 27 CFR 30.25.

    The reading, 1.0000 to 1.2500, is taken to the nearest subdivision (0.0005) and divided by
    Table 7's factor of the true proof: 1.1525 at 68 F and 115 proof is 1.1571.
    """
    mark = between(reading, 1, HEAVIEST, name="specific gravity reading")
    nearest = half_up(mark / SUBDIVISION, "1") * SUBDIVISION
    return half_up(nearest / volume_factor(proof, temperature_f), "0.0001")


def gauge_by_heavy_weight(
    *, net_lb: Number, specific_gravity: Number, proof: Number, step: Number = "0.1"
) -> Gauge:
    """Gauge of liquor whose specific gravity at 60 F is above 1.0, 27 CFR 30.41(b).

    Wine gallons = pounds x 0.120074 / specific gravity, rounded to `step` before the true
    `proof` multiplies them (30.62, 30.64). Raises GaugingError for a gravity not above 1.
    """
    net = amount(net_lb, name="net weight", unit="lb")
    gravity = between(specific_gravity, "1.0001", 2, name="specific gravity above water's")
    true = half_up(proof_figure(proof), "0.1")
    volume = half_up(net * WATER_GAL_PER_LB / gravity, step)
    total, product = multiply_out(wine_gallons=volume, proof=true, step=step)
    return Gauge(
        wine_gallons=half_up(volume, CENT),
        proof=true,
        proof_gallons=total,
        method="weight",
        readings=(
            ("Net weight", f"{net:f} lb"),
            ("Specific gravity at 60 F", plain(gravity)),
            ("True proof", plain(true)),
        ),
        steps=(
            f"{net:f} lb x {WATER_GAL_PER_LB} / {plain(gravity)} = {volume} wine gallons at 60 F",
            product,
        ),
    )


def gauge_by_table6(*, net_lb: Number, proof: Number, step: Number = "0.1") -> Gauge:
    """Gauge of a net weight by Table 6, 27 CFR 30.66.

    Pounds a gallon (five decimals) = 8.32823 x gravity in air; wine gallons to 0.01 before the
    proof multiplies them. 400 lb of 141 proof: 54.05 wine, 76.2 proof gallons.
    """
    net = amount(net_lb, name="net weight", unit="lb")
    true = half_up(proof_figure(proof), "0.1")
    gravity = gravity_cell(true)
    pounds = half_up(WATER_LB_PER_GAL * gravity.figure, "0.00001")
    volume = half_up(net / pounds, CENT)
    total, product = multiply_out(wine_gallons=volume, proof=true, step=step)
    return Gauge(
        wine_gallons=volume,
        proof=true,
        proof_gallons=total,
        method="weight",
        readings=(("Net weight", f"{net:f} lb"), ("Proof at 60 F", plain(true))),
        steps=(
            f"Table 6: gravity in air {gravity.figure} at {true} proof ({gravity.edition})",
            f"{WATER_LB_PER_GAL} lb x {gravity.figure} = {pounds} lb a gallon",
            f"{net:f} lb / {pounds} = {volume} wine gallons at 60 F",
            product,
        ),
    )
