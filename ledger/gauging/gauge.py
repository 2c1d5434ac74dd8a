"""The result of a gauge: how much spirits, how strong, and how that was found."""

from dataclasses import dataclass
from decimal import Decimal

from .figures import Number, half_up

CENT = "0.01"  # wine gallons are kept to the hundredth (27 CFR 30.51)


@dataclass(frozen=True, slots=True)
class Gauge:
    """One gauge of spirits (27 CFR 19.283, 30.1).

    `wine_gallons` at 60 F to 0.01, `proof` the true proof to 0.1, `proof_gallons` rounded once,
    half up, to the step that was asked for; `method` in one word or two; `readings` as
    (label, text) pairs; `steps` as one sentence a step, ready for a screen or an auditor.
    """

    wine_gallons: Decimal
    proof: Decimal
    proof_gallons: Decimal
    method: str
    readings: tuple[tuple[str, str], ...]
    steps: tuple[str, ...]


def multiply_out(*, wine_gallons: Decimal, proof: Decimal, step: Number) -> tuple[Decimal, str]:
    """(proof gallons, step text): wine gallons x proof / 100 to `step` (27 CFR 30.51)."""
    gallons = half_up(wine_gallons * proof / 100, step)
    return gallons, f"{wine_gallons:f} wine gallons x {proof} / 100 = {gallons} proof gallons"
