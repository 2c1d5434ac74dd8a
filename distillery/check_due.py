"""When the next bottles are to be checked, in words; how often is the plant's own rule.

27 CFR 19.356(a) asks for tests at representative intervals and names none.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.db.models import Sum

from distillery.models import BottleCheck, BottlingRun, DatedSetting
from ledger.models import Movement, Premises

HOUR = 60


@dataclass(frozen=True, slots=True)
class Due:
    """One open bottling: what to do next in words, and whether it is time."""

    run: BottlingRun
    words: str
    is_due: bool


def open_runs(premises: Premises) -> list[BottlingRun]:
    """Bottlings not closed, by tank; one query."""
    rows = BottlingRun.objects.filter(premises=premises, closed_by=None, is_void=False)
    return list(
        rows.select_related("product", "vessel", "opened_by", "premises").order_by("vessel__code")
    )


def checks_due(premises: Premises, now: datetime) -> list[Due]:
    """Every open bottling with its next check."""
    return [due_of(run, now) for run in open_runs(premises)]


def due_of(run: BottlingRun, now: datetime) -> Due:
    """The next check of *run* as the plant's rule of that day has it."""
    checks = BottleCheck.objects.filter(run=run, kind=BottleCheck.Kind.CHECK, at__lte=now)
    last = checks.order_by("-at", "-pk").first()
    since = last.at if last else run.opened_by.happened_at
    told = [f"last check {minutes_words(now - since)} ago" if last else "no bottle checked yet"]
    waits = [_by_time(run, since, now), _by_count(run, since, now)]
    told += [words for words, _ in waits if words]
    if len(told) == 1 and last:
        told.append("the plant has set no interval")
    is_out = last is not None and last.is_within is False
    if is_out:
        told.insert(1, "it was out of tolerance: check again")
    if overnight := overnight_words(run, now):
        told.append(overnight)
    is_due = last is None or is_out or any(late for _, late in waits)
    return Due(run, f"{'; '.join(told)}.", is_due)


def _rule(run: BottlingRun, name: str, now: datetime) -> int:
    day = now.astimezone(run.premises.zone).date()
    return int(Decimal(DatedSetting.value_on(run.premises, name, day)))


def _by_time(run: BottlingRun, since: datetime, now: datetime) -> tuple[str, bool]:
    minutes = _rule(run, DatedSetting.Name.CHECK_MINUTES, now)
    if not minutes:
        return "", False
    left = since + timedelta(minutes=minutes) - now
    if left > timedelta(0):
        return f"the next is due in {minutes_words(left)}", False
    return f"the next was due {minutes_words(-left)} ago", True


def _by_count(run: BottlingRun, since: datetime, now: datetime) -> tuple[str, bool]:
    every = _rule(run, DatedSetting.Name.CHECK_BOTTLES, now)
    if not every:
        return "", False
    rows = Movement.objects.filter(
        to_lot__premises=run.premises, to_lot__code=run.lot_code, from_account="glass",
        to_account="finished", at__gt=since, at__lte=now,
    )  # fmt: skip
    filled = rows.aggregate(filled=Sum("amount"))["filled"] or 0
    words = f"one is due every {every:,} bottles, {filled:,} recorded since"
    return words, filled >= every


def minutes_words(span: timedelta) -> str:
    """``25 min``, ``2 h 5 min``, ``3 days``."""
    minutes = int(span.total_seconds()) // 60
    if minutes < HOUR:
        return f"{minutes} min"
    hours, rest = divmod(minutes, HOUR)
    if hours >= 48:
        return f"{hours // 24} days"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def overnight_words(run: BottlingRun, now: datetime) -> str:
    """What a tank not finished the same day asks for (27 CFR 19.357)."""
    zone = run.premises.zone
    opened = run.opened_by.happened_at.astimezone(zone)
    if opened.date() >= now.astimezone(zone).date():
        return ""
    return (
        f"open since {opened:%-d %b}: each day's bottles are entered by the next business "
        "morning (27 CFR 19.357)"
    )
