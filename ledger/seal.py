"""The seal chain: a hash over the previous seal and one canonical JSON list of codes.

Codes, not row ids, so that a book moved by premises keeps its seals; text, not parsed JSON,
so that both databases seal the same bytes. The order is that of recording.
"""

from collections.abc import Iterable
from datetime import UTC, datetime
from hashlib import sha256
from json import dumps

from ledger.models import Designation, Lot

VERSION = "book-1"


def instant(moment: datetime) -> str:
    """*moment* in UTC with microseconds: ``2026-01-29T18:30:00.000000Z``."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def lot_facts(lot: Lot) -> list[object]:
    """A lot's frozen facts in sealing order."""
    own = [getattr(lot, name) for name in Lot.FIRST_FACTS]
    facts = [getattr(lot.designation, name) for name in Designation.FACTS]
    later = {name: getattr(lot, name) for name in Lot.LATER_FACTS if getattr(lot, name)}
    told = [str(fact) if hasattr(fact, "isoformat") else fact for fact in own]
    return [lot.code, *told, *facts, *([later] if later else [])]


def sealing_text(
    head: list[object], lots: Iterable[list[object]], legs: Iterable[list[object]]
) -> str:
    """The canonical text of one entry: head facts, opened lots, legs as codes and integers."""
    return dumps([*head, list(lots), list(legs)], separators=(",", ":"), ensure_ascii=False)


def seal(previous: str, text: str) -> str:
    """The seal of an entry whose canonical text is *text*, after the seal *previous*."""
    return sha256(f"{VERSION}\n{previous}\n{text}".encode()).hexdigest()
