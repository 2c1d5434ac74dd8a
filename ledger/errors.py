"""What the book refuses, each with one sentence for the person and the figures inside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ledger.plan import Plan, Shortage


class LedgerError(Exception):
    """Base of every refusal: ``str(error)`` is the sentence, shown beside the form's *field*."""

    def __init__(self, sentence: str, *, field: str = "") -> None:
        super().__init__(sentence)
        self.field = field


class BadFact(LedgerError):
    """A fact that cannot be: an unknown class, a wrong unit, a quantity that is not whole."""


class BadPlan(LedgerError):
    """A plan whose legs are malformed; the fault is in an operation, not in the record."""


class UnknownFlow(LedgerError):
    """A (from, to, purpose) that the table of flows does not hold."""


class UnknownName(LedgerError):
    """A vessel or lot code that this plant does not have."""


class KeyConflict(LedgerError):
    """A key that was used before for another record."""


class MonthClosed(LedgerError):
    """The act happened in a closed month and the record does not say how to book it."""


class FutureDate(LedgerError):
    """The act is dated later than now."""


class NotReversible(LedgerError):
    """The entry was reversed before, is itself a reversal, or does not exist."""


class NotClosable(LedgerError):
    """A month that cannot be closed; the reasons are in ``reasons``."""

    def __init__(self, reasons: list[str]) -> None:
        super().__init__(" ".join(reasons))
        self.reasons = reasons


class Short(LedgerError):
    """A holding would fall below zero, now or at a later moment already recorded."""

    def __init__(self, shortages: list[Shortage]) -> None:
        super().__init__(" ".join(item.sentence for item in shortages))
        self.shortages = shortages


class Changed(LedgerError):
    """The book moved since the preview; ``plan`` is what would be posted now."""

    def __init__(self, plan: Plan) -> None:
        super().__init__("The book has moved since this was shown. Look at it again, then confirm.")
        self.plan = plan
