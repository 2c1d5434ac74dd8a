"""How the bench writes its figures."""

from decimal import Decimal

from ledger.gauging import half_up


def gal(value: Decimal) -> str:
    """Wine gallons at 60 °F to the hundredth."""
    return f"{half_up(value, '0.01'):,f} gal"


def lb(value: Decimal) -> str:
    """Pounds to the hundredth."""
    return f"{half_up(value, '0.01'):,f} lb"


def pg(value: Decimal) -> str:
    """Proof gallons to the hundredth."""
    return f"{half_up(value, '0.01'):,f} PG"


def proof(value: Decimal, step: str = "0.1") -> str:
    """Degrees of proof."""
    return f"{half_up(value, step):f} proof"


def typed(value: Decimal, step: str = "0.01") -> str:
    """A figure as a person would type it into a box."""
    return f"{half_up(value, step):f}"


def fahrenheit(value: Decimal) -> str:
    """A temperature as it was given, not rounded: Table 1 is read between its degrees."""
    return f"{value:.10g} °F"


def room(volumes: Decimal, mixed: Decimal) -> str:
    """How the room of a mixture differs from the sum of its parts."""
    less = half_up(volumes, "0.01") - half_up(mixed, "0.01")
    return f"contraction {gal(less)}" if less >= 0 else f"{gal(-less)} more than the sum"
