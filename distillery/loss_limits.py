"""When a loss is above what the law takes as usual: 27 CFR 19.462(d) and (e).

Proof gallons in hundredths, as in the book. Barrels have no percentage: their loss is told when
they are emptied, regauged or meet an accident.
"""

from dataclasses import dataclass
from fractions import Fraction

IN_TRANSIT = Fraction(1, 100)  # 19.462(d): "as a general rule", bulk in bond
WINE_FAR = Fraction(2, 100)  # wine moved from coast to coast
IN_TANKS = Fraction(15, 1000)  # 19.462(e): storage tanks and stored conveyances in a quarter


@dataclass(frozen=True, slots=True)
class LossTest:
    """A loss against its limit: exactly at the limit is still usual."""

    lost: int
    base: int
    limit: Fraction

    @property
    def is_excessive(self) -> bool:
        """Whether the loss exceeds the limit."""
        return self.lost > 0 and Fraction(self.lost) > self.limit * self.base

    @property
    def percent(self) -> Fraction | None:
        """The loss in per cent of the base, None where there is no base."""
        return Fraction(self.lost * 100, self.base) if self.base else None


def transit_test(consigned: int, received: int, *, limit: Fraction = IN_TRANSIT) -> LossTest:
    """Proof gallons *consigned* against *received* at the receiving gauge."""
    return LossTest(consigned - received, consigned, limit)


def tank_test(opening: int, received: int, lost: int) -> LossTest:
    """Losses of a calendar quarter from storage tanks and stored bulk conveyances.

    The text compares with "the total quantity contained" in the quarter and gives no formula;
    it is read here as opening plus receipts.
    """
    return LossTest(lost, opening + received, IN_TANKS)
