"""When a still or a ferment is to be read again, in words; how often is the plant's own rule."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from distillery.check_due import minutes_words
from distillery.models import DatedSetting
from ledger.models import Premises

STILL = DatedSetting.Name.STILL_MINUTES
FERMENT = DatedSetting.Name.FERMENT_HOURS


@dataclass(frozen=True, slots=True)
class DueIn:
    """What to do next in words, whether it is time, and the seconds left, below zero once it is
    over; None where the plant has set no interval."""

    words: str
    is_due: bool
    left: int | None = None


def still_due(
    premises: Premises, *, last: datetime | None, since: datetime, now: datetime
) -> DueIn:
    """The next reading of a still that runs *since* then and was read *last*."""
    minutes = _rule(premises, STILL, now)
    return _due(timedelta(minutes=minutes), last, since, now)


def ferment_due(
    premises: Premises, *, last: datetime | None, since: datetime, now: datetime
) -> DueIn:
    """The next reading of a ferment set *since* then and read *last*."""
    return _due(timedelta(hours=_rule(premises, FERMENT, now)), last, since, now)


def _rule(premises: Premises, name: str, now: datetime) -> float:
    day = now.astimezone(premises.zone).date()
    return float(Decimal(DatedSetting.value_on(premises, name, day)))


def _due(every: timedelta, last: datetime | None, since: datetime, now: datetime) -> DueIn:
    told = f"Last read {minutes_words(now - last)} ago" if last else "Not read yet"
    if not every:
        return DueIn(f"{told}; the plant has set no interval.", False)
    left = (last or since) + every - now
    seconds = int(left.total_seconds())
    often = f"every {minutes_words(every)} by the plant's setting"
    if left > timedelta(0):
        return DueIn(f"{told}. The next is due in {minutes_words(left)}, {often}.", False, seconds)
    return DueIn(f"{told}. The next was due {minutes_words(-left)} ago, {often}.", True, seconds)
