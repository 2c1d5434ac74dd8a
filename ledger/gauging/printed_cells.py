"""The cells that the regulations print in their own examples, each with its section.

A key is the grid's key and the cell's place: proof, or reading and degrees F for Table 1, or
proof and degrees F for Table 7. Sections are those of 27 CFR, annual edition 2015.
"""

from dataclasses import dataclass
from decimal import Decimal

Whole = int | Decimal
Key = tuple[str | Whole, ...]


@dataclass(frozen=True, slots=True)
class Printed:
    """A printed figure and where it is printed."""

    figure: Decimal
    source: str


PROOFING_PAGE = "TTB proofing page"

_CELLS: dict[str, dict[Key, str]] = {
    "27 CFR 30.23": {("1", 193, 72): "190.2", ("1", 192, 72): "189.1", ("1", 192, 73): "188.9"},
    "27 CFR 30.61": {("1", 193, 75): "189.5"},
    PROOFING_PAGE: {("1", 80, 68): "76.4", ("1", 81, 68): "77.4", ("1", 80, 69): "76.0"},
    "27 CFR 30.25": {("7", 115, 68): "0.996"},
    "27 CFR 30.44": {("4 wine", 194): "0.14866"},
    "27 CFR 30.64": {
        ("1", 92, 75): "85.5",
        ("4 wine", Decimal("85.5")): "0.12676",
        ("4 wine", 190): "0.14718",
        ("4 proof", 190): "0.27964",
        ("4 proof", 200): "0.30258",
    },
    "27 CFR 30.65": {("5 wine", 190): "6.79434", ("5 proof", 190): "3.57597"},
    "27 CFR 30.66": {
        ("6 alcohol", 188): "94.0",
        ("6 alcohol", 191): "95.5",
        ("6 water", 100): "53.73",
        ("6 water", 112): "47.75",
        ("6 water", 188): "7.36",
        ("6 water", 191): "5.59",
        ("6 air", 141): "0.88862",
    },
    # 115 proof at 46 F: the text leaves the temperature out; its neighbour, 110 proof, is at 46 F.
    "27 CFR 30.67": {
        ("7", 95, 92): "0.986",
        ("7", 95, 94): "0.985",
        ("7", 100, 92): "0.985",
        ("7", 110, 46): "1.006",
        ("7", 110, 48): "1.005",
        ("7", 115, 46): "1.007",
        ("7", 180, 50): "1.006",
        ("7", 180, 52): "1.005",
        ("7", 180, 54): "1.003",
        ("7", 190, 76): "0.991",
    },
}

SHIPPED: dict[Key, Printed] = {
    key: Printed(Decimal(figure), source)
    for source, cells in _CELLS.items()
    for key, figure in cells.items()
}
