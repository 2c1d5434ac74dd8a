"""What a tablet says of a record beside its content: the plant, the device, and its own clock.

A record made where there is no network is sent later, perhaps from another log-in's page or out
of a file. ``made_for`` keeps it from a book of another plant; ``device`` and ``made_at`` are kept
beside what was recorded and are no part of its content.
"""

import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.utils import timezone

from distillery.check_due import minutes_words
from distillery.models import BottleCheck, Reading, TabletRecord
from ledger.errors import BadFact
from ledger.models import Entry, Premises
from ledger.plan import Question

NAMES = ("made_for", "device", "made_at")
DEVICE = re.compile(r"[A-Za-z0-9-]{1,40}\Z")
CLOCK = "tablet-clock"
CLOCK_OFF = timedelta(minutes=10)  # what a record of the floor need not be truer than
KEPT_BY_KEY = (Entry, Reading, BottleCheck)


@dataclass(frozen=True, slots=True)
class Made:
    """The tablet that a record was made on, and the moment by the tablet's clock."""

    device: str
    at: datetime

    def keep(self, *, premises: Premises, key: str, by: str, entry: Entry | None) -> None:
        """Keep this beside what was recorded under *key*; of a second sending nothing is kept."""
        offset = self.at.utcoffset()
        TabletRecord.objects.get_or_create(
            premises=premises,
            key=key,
            defaults={
                "device": self.device, "made_at": self.at, "by": by, "entry": entry,
                "offset_minutes": round(offset.total_seconds() / 60) if offset else 0,
            },
        )  # fmt: skip


def made_of(data: dict[str, Any], premises: Premises) -> Made | None:
    """What *data* says of its tablet; None when it says nothing. Raises BadFact with its field."""
    registry = data.get("made_for")
    if registry not in (None, "", premises.registry):
        told = f"This was made at plant {registry}, and this is {premises.registry}."
        raise BadFact(f"{told} Send it from a log-in there.", field="made_for")
    device, made_at = data.get("device"), data.get("made_at")
    if not device and not made_at:
        return None
    if not isinstance(device, str) or not DEVICE.match(device):
        raise BadFact("Name the tablet in letters, digits and dashes, 40 at most.", field="device")
    return Made(device, _moment(made_at))


def _moment(text: Any) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except (TypeError, ValueError):
        moment = None
    if moment is None or moment.tzinfo is None or not 2000 < moment.year < 2200:
        told = "Give the tablet's time with its offset, like 2026-03-02T09:00:00-05:00."
        raise BadFact(told, field="made_at")
    return moment


def clock_question(data: dict[str, Any], told: str, premises: Premises) -> Question | None:
    """What to ask of a record whose tablet says *told* now, where that is far from now.

    Its own moment was taken from that clock unless a person typed it, and a day off can be another
    month. A record that is in the book already is not asked about again.
    """
    if CLOCK in (data.get("confirm") or []):
        return None
    try:
        off = _moment(told) - timezone.now()
    except BadFact:
        return None
    if abs(off) < CLOCK_OFF or _is_kept(data.get("key"), premises):
        return None
    side = "ahead of" if off > timedelta() else "behind"
    at = str(data.get("at") or "")[:16].replace("T", " ")
    text = (
        f"The tablet's clock is {minutes_words(abs(off))} {side} the book's. This says it happened "
        f"{at}. Is that when it happened?"
    )
    return Question(CLOCK, text)


def _is_kept(key: Any, premises: Premises) -> bool:
    return any(
        rows.objects.filter(premises=premises, key=str(key or "")).exists() for rows in KEPT_BY_KEY
    )
