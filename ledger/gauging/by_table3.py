"""Table 3: proof gallons of any weight, digit by digit, each part rounded before they are added."""

from decimal import Decimal

from .figures import Number, amount, between, half_up
from .table4 import proof_gallons_per_pound

TENTH = "0.1"


def table3_parts(*, net_lb: Number, proof: Number) -> tuple[tuple[Decimal, Decimal], ...]:
    """(pounds, proof gallons [0.1]) for each decimal digit of a weight, 27 CFR 30.63.

    60,378 lb of 190 proof are 16,778.4 + 83.9 + 19.6 + 2.2; their sum is the gauge. The parts are
    the table's decimal steps with the decimal point moved.
    """
    net = amount(net_lb, name="net weight", unit="lb")
    per_lb = proof_gallons_per_pound(proof)
    lowest = net.as_tuple().exponent
    digits = net.as_tuple().digits
    weights = [
        Decimal(digit).scaleb(int(lowest) + len(digits) - 1 - place)
        for place, digit in enumerate(digits)
        if digit
    ]
    return tuple((weight, half_up(weight * per_lb, TENTH)) for weight in weights)


def table3_proof_gallons(*, net_lb: Number, proof: Number) -> Decimal:
    """Proof gallons [0.1] of a weight, the sum of its `table3_parts` (27 CFR 30.63)."""
    parts = table3_parts(net_lb=net_lb, proof=proof)
    return sum((gallons for _, gallons in parts), Decimal("0.0"))


def table3_wine_gallons(*, net_lb: Number, proof: Number) -> Decimal:
    """Wine gallons [0.1] of a weight: proof gallons / (proof / 100), 27 CFR 30.63.

    Raises GaugingError below 0.1 proof, where there are no proof gallons to divide.
    """
    strength = half_up(between(proof, TENTH, 200, name="proof"), TENTH)
    return half_up(table3_proof_gallons(net_lb=net_lb, proof=strength) / (strength / 100), TENTH)
