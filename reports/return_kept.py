"""A filed return read back from what was kept, so that it shows as it was told."""

from datetime import date
from decimal import Decimal
from json import loads
from typing import Any

from reports.models import Filed
from reports.return_adjustments import Item
from reports.return_periods import ReturnPeriod
from reports.returns import ReturnFigure
from reports.tax import Document, Share


def figure_as_filed(row: Filed) -> ReturnFigure:
    """The return of *row* with the figures it was filed with."""
    kept: dict[str, Any] = loads(row.content)
    number = int(kept["serial"].rsplit("-", 1)[1])
    days = (date.fromisoformat(kept[name]) for name in ("begin", "end", "due"))
    return ReturnFigure(
        kept["premises"], kept["plant"], kept["taxpayer"], kept["ein"], kept["frequency"],
        ReturnPeriod(number, *days),
        tuple(_document(one) for one in kept["documents"]),
        tuple(_item(one) for one in kept["schedule_a"]),
        tuple(_item(one) for one in kept["schedule_b"]),
        tuple((serial, _document(one)) for serial, one in kept["prepaid"]),
        row, (kept["through_entry"], kept["seal"]),
    )  # fmt: skip


def _item(kept: dict[str, str]) -> Item:
    tax, interest, penalty = (Decimal(kept[name]) for name in ("tax", "interest", "penalty"))
    return Item(kept["explanation"], tax, interest, penalty)


def _share(kept: dict[str, Any]) -> Share:
    rate, proof, tax = (Decimal(kept[name]) for name in ("rate", "proof_gallons", "tax"))
    if "lots" not in kept:
        return Share(rate, proof, tax)
    effective, before = Decimal(kept["effective"]), Decimal(kept["before"])
    return Share(rate, proof, tax, effective, before, tuple(kept["lots"]))


def _document(kept: dict[str, Any]) -> Document:
    shares = tuple(_share(share) for share in kept["shares"])
    day = date.fromisoformat(kept["day"])
    return Document(
        day, kept["document"], kept["kind"], tuple(kept["entries"]), 0, shares, day, Decimal(0)
    )
