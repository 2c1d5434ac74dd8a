"""Cautions as a plant has them: in its own words where the owner gave some, else in the book's.

A tick names the caution and the version of its words, six digits of their SHA-256, so that the
record tells who saw which words; the words themselves are never changed, only followed by newer.
"""

from collections.abc import Mapping
from hashlib import sha256

from distillery.models import CautionWording
from distillery.safety import CAUTIONS, SEEN, TRIGGERED, Seen
from ledger.models import Premises

Words = Mapping[str, tuple[str, ...]]


def words_of(premises: Premises) -> Words:
    """The lines of every caution by its code; one query."""
    told = {code: one.lines for code, one in (CAUTIONS | TRIGGERED).items()}
    told |= {code: (one.text,) for code, one in SEEN.items()}
    rows = CautionWording.objects.filter(premises=premises).order_by("pk")
    newest = {row.code: row.told() for row in rows}
    return {code: newest.get(code) or lines for code, lines in told.items()}


def as_said(seen: Seen, premises: Premises) -> Seen:
    """*seen* in the plant's words, its code with their version."""
    (text,) = words_of(premises)[seen.code]
    return Seen(versioned(seen.code, text), text, seen.source)


def versioned(code: str, text: str) -> str:
    """``seen-entry.3f9a21``: the code with the version of its words."""
    return f"{code}.{sha256(text.encode()).hexdigest()[:6]}"


def words_seen(confirmed: str) -> str:
    """The words that a tick of a record was for; "" for another code, or words not known here."""
    code = confirmed.partition(".")[0]
    if code not in SEEN:
        return ""
    rows = CautionWording.objects.filter(code=code)
    known = [SEEN[code].text, *(line for row in rows for line in row.told())]
    return next((text for text in known if versioned(code, text) == confirmed), "")
