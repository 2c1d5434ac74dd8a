"""What needs a hand next, most pressing first, each with the one act that answers it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.urls import reverse

from distillery.check_due import Due, minutes_words
from distillery.curves.ferment_words import calls_of
from distillery.models import DatedSetting, OpenCount, Reading
from distillery.models.plant import Rulebook
from distillery.remarks import State
from distillery.runs import is_kept_back
from distillery.shown_in import shown_in
from ledger.looking import Held
from ledger.models import Premises, Vessel

STILL_MINUTES = DatedSetting.Name.STILL_MINUTES
FERMENT_HOURS = DatedSetting.Name.FERMENT_HOURS
Calls = dict[int, tuple[str, bool]]  # words and whether unusual, by wash
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
    """All that waits: running stills, late readings, ferments out of the usual, bottlings, gauges,
    counts; three queries."""
    rules, seen = DatedSetting.all_of(premises), list(seen)
    washes = [wash.lot for one in seen if (wash := _ferment_in(one))]
    calls = calls_of(washes, shown_in(premises)) if washes else {}
    found = [hand for one in seen if (hand := _of_vessel(one, rules, calls, premises, now))]
    found += [_of_bottling(one) for one in bottlings]
    found += [_of_count(one) for one in _open_counts(premises)]
    return sorted(found, key=lambda one: (not one.is_due, one.rank, one.since))


def _open_counts(premises: Premises) -> list[OpenCount]:
    return list(OpenCount.objects.filter(premises=premises, closed_by=None, is_dropped=False))


def _ferment_in(one: Seen) -> Held | None:
    """The wash that ferments there, if one does."""
    first = one.held[0] if one.held and one.vessel.kind == Vessel.Kind.FERMENTER else None
    return first if first and first.account == "fermenting" else None


def _of_vessel(
    one: Seen, rules: Rulebook, calls: Calls, premises: Premises, now: datetime
) -> Hand | None:
    if wash := _ferment_in(one):
        every = _every(rules, FERMENT_HOURS, premises, now)
        return _of_ferment(one, every, calls.get(wash.lot.pk, ("", False)), now)
    run = next((held for held in one.held if held.account in RUNNING), None)
    match one.vessel.kind:
        case "still" if run:
            return _of_still(one, run, _every(rules, STILL_MINUTES, premises, now), now)
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
    if one.state and one.state.is_stopped:
        words = f"stands stopped since {minutes_words(now - one.state.since)}"
        return _hand(3, run.since, one.vessel, words, "Run the still on",
                     _record("run-on", one.vessel), False)  # fmt: skip
    read = one.last.at if one.last and one.last.at >= run.since else None
    words = _told("runs", every, read, run.since, now)
    address = reverse("run", args=[run.lot.code])
    late = _late(every, read, run.since, now)
    return _hand(0, run.since, one.vessel, words, "Watch the run", address, late)


def _of_ferment(one: Seen, every: timedelta, call: tuple[str, bool], now: datetime) -> Hand | None:
    """A reading that is late; a wash off its usual path, or done, by the last one."""
    said, is_odd = call
    since = one.held[0].since
    read = one.last.at if one.last and one.last.at >= since else None
    is_late = _late(every, read, since, now)
    if not is_late and not said:
        return None
    told = [_told("ferments", every, read, since, now)] if is_late else []
    words = ". ".join([*told, *([said.rstrip(".")] if said else [])])
    act, address = "Note a reading", _record("ferment-reading", one.vessel)
    if not is_late:
        act, address = "See the curve", reverse("vessel", args=[one.vessel.code])
    rank = 1 if is_late or is_odd else 3
    return _hand(rank, read or since, one.vessel, words, act, address, is_late or is_odd)


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
