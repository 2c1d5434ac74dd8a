"""What the law wants on a case of bottled spirits: 27 CFR 19.489(a)."""

from datetime import date
from decimal import Decimal

# In the section's order: (name, as the mark is made).
MARKS = (
    ("serial number", "{serial}"),
    ("kind", "{kind}"),
    ("plant number where bottled", "{registry}"),
    ("date filled", "filled {filled:%Y-%m-%d}"),
    ("proof", "{proof} proof"),
    ("liters or proof gallons", "{liters} L"),
)


def case_marks(
    *, serial: str, kind: str, registry: str, filled: date, proof: Decimal, liters: Decimal
) -> tuple[tuple[str, str], ...]:
    """(what it is, the words to mark) for one case; *kind* is the class and type of part 5.

    Other marks are allowed where they do not interfere; cases for export carry more (part 28).
    """
    facts = {
        "serial": serial,
        "kind": kind,
        "registry": registry,
        "filled": filled,
        "proof": f"{proof:f}",
        "liters": f"{liters:f}",
    }
    return tuple((name, words.format(**facts)) for name, words in MARKS)
