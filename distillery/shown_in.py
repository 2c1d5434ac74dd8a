"""In which units a plant's screens show what was read; what is kept never depends on them."""

from dataclasses import dataclass

from distillery.models import Plant
from ledger import units
from ledger.gauging import half_up
from ledger.models import Premises

SIGNS = {"F": "°F", "C": "°C", "SG": "SG", "Bx": "°Bx", "P": "°P"}


@dataclass(frozen=True, slots=True)
class ShownIn:
    """``temperature`` is F or C; ``gravity`` is SG, Bx or P."""

    temperature: str = "F"
    gravity: str = "SG"

    def sign(self, measure: str) -> str:
        """What is printed beside a box of that kind of quantity, like ``°Bx``; "" for others."""
        return SIGNS[getattr(self, measure)] if measure in ("temperature", "gravity") else ""


def below_zero(measure: str) -> str:
    """The units in which such a quantity may be below zero, as printed: ``°Bx °P``; "" for none."""
    return " ".join(SIGNS[unit] for unit in units.KINDS[measure].signed)


def shown_in(premises: Premises) -> ShownIn:
    """The plant's own choice."""
    plant = getattr(premises, "plant", Plant())
    return ShownIn(plant.temperature_unit, plant.gravity_unit)


def gravity_words(value: object, unit: str, places: int = 4) -> str:
    """``SG 1.0310`` with *places* decimals, or ``7.8 °Bx``; "" for None."""
    if value is None:
        return ""
    told = units.show(str(value), "gravity", unit)
    if not told.endswith("SG"):
        return told
    return f"SG {half_up(told.split()[0], PLACES[places])}"


PLACES = {3: "0.001", 4: "0.0001"}
