"""What needs a hand next, most pressing first, each with the one act that answers it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.urls import reverse

from distillery.check_due import Due, minutes_words
from distillery.models import DatedSetting, OpenCount, Reading
from distillery.models.plant import Rulebook
from distillery.remarks import State
from distillery.runs import is_kept_back
from ledger.looking import Held
from ledger.models import Premises, Vessel

STILL_MINUTES = DatedSetting.Name.STILL_MINUTES
FERMENT_HOURS = DatedSetting.Name.FERMENT_HOURS
RUNNING = frozenset({"production", "processing"})


@dataclass(frozen=True, slots=True)
class Hand:
    """One thing to do: where, what in words, the act and its address; lowest ``rank`` first."""

    rank: int
    since: datetime
    where: str
    words: str
    act: str
    address: str
    is_due: bool


@dataclass(frozen=True, slots=True)
class Seen:
    """One vessel of the floor as far as this list needs it."""

    vessel: Vessel
    held: list[Held]
    last: Reading | None
    state: State | None


def hands(
    seen: Iterable[Seen], bottlings: Iterable[Due], premises: Premises, now: datetime
) -> list[Hand]:
    """All that waits: running stills, late readings, bottlings, gauges, counts; two queries."""
    rules = DatedSetting.all_of(premises)
    found = [hand for one in seen if (hand := _of_vessel(one, rules, premises, now))]
    found += [_of_bottling(one) for one in bottlings]
    found += [_of_count(one) for one in _open_counts(premises)]
    return sorted(found, key=lambda one: (not one.is_due, one.rank, one.since))


def _open_counts(premises: Premises) -> list[OpenCount]:
    return list(OpenCount.objects.filter(premises=premises, closed_by=None, is_dropped=False))


def _of_vessel(one: Seen, rules: Rulebook, premises: Premises, now: datetime) -> Hand | None:
    run = next((held for held in one.held if held.account in RUNNING), None)
    match one.vessel.kind:
        case "still" if run:
            return _of_still(one, run, _every(rules, STILL_MINUTES, premises, now), now)
        case "fermenter" if one.held and one.held[0].account == "fermenting":
            return _of_ferment(one, _every(rules, FERMENT_HOURS, premises, now), now)
        case "receiver" | "tank" | "tote" if run and _waits_for_gauge(run):
            address = _record("production-gauge", one.vessel)
            words = "holds a distillate that is not gauged as produced yet"
            return _hand(4, run.since, one.vessel, words, "Production gauge", address, False)
    return None


def _waits_for_gauge(held: Held) -> bool:
    return held.account == "production" and not is_kept_back(held.lot.name)


def _every(rules: Rulebook, name: str, premises: Premises, now: datetime) -> timedelta:
    number = int(Decimal(rules.value_on(name, now.astimezone(premises.zone).date())))
    return timedelta(minutes=number) if name == STILL_MINUTES else timedelta(hours=number)


def _of_still(one: Seen, run: Held, every: timedelta, now: datetime) -> Hand:
    """A still that runs stands before everything else; one that was stopped waits."""
    if one.state and one.state.title == "Stopped":
        words = f"stands stopped since {minutes_words(now - one.state.since)}"
        return _hand(3, run.since, one.vessel, words, "Run the still on",
                     _record("run-on", one.vessel), False)  # fmt: skip
    read = one.last.at if one.last and one.last.at >= run.since else None
    words = _told("runs", every, read, run.since, now)
    address = reverse("run", args=[run.lot.code])
    late = _late(every, read, run.since, now)
    return _hand(0, run.since, one.vessel, words, "Watch the run", address, late)


def _of_ferment(one: Seen, every: timedelta, now: datetime) -> Hand | None:
    since = one.held[0].since
    read = one.last.at if one.last and one.last.at >= since else None
    if not _late(every, read, since, now):
        return None
    words = _told("ferments", every, read, since, now)
    address = _record("ferment-reading", one.vessel)
    return _hand(1, read or since, one.vessel, words, "Note a reading", address, True)


def _late(every: timedelta, read: datetime | None, since: datetime, now: datetime) -> bool:
    return bool(every) and (read or since) + every <= now


def _told(
    does: str, every: timedelta, read: datetime | None, since: datetime, now: datetime
) -> str:
    told = f"last read {minutes_words(now - read)} ago" if read else "not read yet"
    over = (read or since) + every
    due = f", a reading was due {minutes_words(now - over)} ago" if every and over <= now else ""
    return f"{does}: {told}{due}"


def _of_bottling(one: Due) -> Hand:
    act, slug = ("Check bottles", "bottle-check") if one.is_due else ("Bottle", "bottle")
    words = f"bottling {one.run.serial}: {one.words.rstrip('.')}"
    return _hand(2, one.run.opened_by.happened_at, one.run.vessel, words, act,
                 _record(slug, one.run.vessel), one.is_due)  # fmt: skip


def _of_count(count: OpenCount) -> Hand:
    return Hand(
        5, count.started_at, str(count), "is open and not signed yet", "Walk on",
        reverse("count", args=[count.number]), False,
    )  # fmt: skip


def _record(slug: str, vessel: Vessel) -> str:
    return f"{reverse('record-operation', args=[slug])}?vessel={vessel.code}"


def _hand(
    rank: int, since: datetime, vessel: Vessel, words: str, act: str, address: str, is_due: bool
) -> Hand:
    return Hand(rank, since, vessel.code, words, act, address, is_due)
