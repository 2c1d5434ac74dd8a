"""Adjustments of the tax return: what changed a filed period, and what people enter."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from json import loads
from typing import Any

from reports.models import Adjustment, Filed
from reports.return_periods import ReturnPeriod
from reports.tax import Document

ZERO = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class Item:
    """One entry of a schedule: why, tax, interest, penalty; negative decreases what is due.

    ``of`` is the serial of the filed return it adjusts and ``document`` the removal, empty for
    what a person entered.
    """

    explanation: str
    tax: Decimal
    interest: Decimal = ZERO
    penalty: Decimal = ZERO
    of: str = ""
    document: str = ""

    @property
    def total(self) -> Decimal:
        """Tax, interest and penalty."""
        return self.tax + self.interest + self.penalty

    def turned(self) -> "Item":
        """The same with its signs turned, as Schedule B shows it."""
        return replace(self, tax=-self.tax, interest=-self.interest, penalty=-self.penalty)


def from_people(rows: Iterable[Adjustment], period: ReturnPeriod) -> list[Item]:
    """What was entered as found or approved in *period*."""
    found = []
    for row in rows:
        if not period.holds(row.found_on):
            continue
        claim = f", claim {row.claim}" if row.claim else ""
        item = Item(f"{row.explanation}{claim}", row.tax, row.interest, row.penalty)
        found.append(item if row.schedule == Adjustment.Schedule.INCREASING else item.turned())
    return found


def taxes(documents: Iterable[Document]) -> dict[str, Decimal]:
    """Tax by document number."""
    found: dict[str, Decimal] = defaultdict(lambda: ZERO)
    for one in documents:
        found[one.number] += one.tax
    return dict(found)


def _kept(row: Filed) -> dict[str, Any]:
    content: dict[str, Any] = loads(row.content)
    return content


def from_book(filed: Sequence[Filed], documents: Iterable[Document]) -> list[Item]:
    """Each document of a filed period whose tax is not what was filed, less what later returns
    took already: a late removal, a cancelled invoice, a mended gauge.
    """
    everything = list(documents)
    found = []
    for row in filed:
        content = _kept(row)
        then = {name: Decimal(tax) for name, tax in content["taxes"].items()}
        now = taxes(one for one in everything if row.begin <= one.day <= row.end)
        for number in dict.fromkeys([*then, *now]):
            change = now.get(number, ZERO) - then.get(number, ZERO)
            change -= _taken(filed, content["serial"], number)
            if change:
                found.append(_item(content["serial"], number, change, is_new=number not in then))
    return found


def _taken(filed: Iterable[Filed], serial: str, number: str) -> Decimal:
    """What returns filed since have adjusted of this document already."""
    rows = [item for row in filed for item in _kept(row)["adjusted"]]
    mine = (r for r in rows if (r["of"], r["document"]) == (serial, number))
    return sum((Decimal(row["tax"]) for row in mine), ZERO)


def _item(serial: str, number: str, change: Decimal, *, is_new: bool) -> Item:
    what = "recorded after it was filed" if is_new else "changed since it was filed"
    return Item(f"Document {number} of return {serial}, {what}", change, of=serial, document=number)
