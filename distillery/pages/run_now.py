"""What a run's page shows at this moment: what runs into where, alcohol, what is to be gauged."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any
from urllib.parse import urlencode
from uuid import uuid4

from django.urls import reverse

from distillery.check_due import minutes_words
from distillery.models import Reading
from distillery.pages.standing import content, held_now, most_first
from distillery.plans import pg
from distillery.readings_due import DueIn, still_due
from distillery.run_story import OUT, USUAL_SPIRITS, USUAL_WASH, Story, Stretch, beside
from distillery.runs import FRACTIONS, fraction_of, is_kept_back
from distillery.shown_in import ShownIn
from ledger import units
from ledger.models import Holding, Movement, Premises, Vessel
from ledger.models.book import LIVE

ACCOUNTS = {"production": "collect", "processing": "still-collect-processing"}
Level = tuple[Reading, Decimal, Decimal | None]
LAST = ("tails", "feints", "low wines")
BEFORE = 40  # movements of the still looked back on for where a fraction went


@dataclass(frozen=True, slots=True)
class CutButton:
    """One tap: from now on this fraction, into that receiver as last time."""

    fraction: str
    into: str
    key: str
    is_next: bool


@dataclass(frozen=True, slots=True)
class Receiver:
    """A vessel the run flows into: the book's words, the level read last and when it is full."""

    vessel: Vessel
    holds: tuple[str, ...]
    level: int | None  # per cent of its size
    words: str
    is_running: bool
    came: Decimal = Decimal(0)  # gallons read beyond what the book has in it


@dataclass(frozen=True, slots=True)
class Alcohol:
    """In against out, in words; ``share`` is per cent of the charge, if it is known."""

    charged: str
    collected: str
    share: str
    usual: str
    width: int
    more: str = ""  # what runs now and was not gauged, by the levels and strengths read


def due_in(story: Story, premises: Premises, now: datetime) -> DueIn | None:
    """When to read next; None for a still that is stopped or a run that is closed."""
    if not story.account or story.is_stopped:
        return None
    on = story.stops[-1].at if story.stops else story.started
    return still_due(premises, last=story.last_read, since=on, now=now)


def alcohol_of(story: Story, receivers: Sequence[Receiver] = ()) -> Alcohol:
    """Proof gallons charged and collected, and what a run like this usually gives in all."""
    out, into = story.proof_out, story.proof_in
    more = _not_gauged(story, receivers)
    if not into:
        known = "not known: nobody gauged the wash" if story.has_wash else pg(0)
        return Alcohol(known, pg(out), "", "", 0, more)
    low, high = USUAL_WASH if story.has_wash else USUAL_SPIRITS
    about = "about " if story.has_wash else ""
    usual = (
        f"All fractions together usually give {low} to {high} % of "
        f"{'the estimate by gravity' if story.has_wash else 'a gauged charge'}: "
        f"{pg(into * low // 100)} to {pg(into * high // 100)} (common practice, no source)."
    )
    share = Decimal(out * 100) / into
    return Alcohol(
        f"{about}{pg(into)}", pg(out), f"{share:.1f} %", usual, min(100, int(share)), more
    )


def _not_gauged(story: Story, receivers: Sequence[Receiver]) -> str:
    """The gallons that ran in since the cut, at the mean of the proofs read since: an estimate."""
    runs = story.running
    receiver = next((one for one in receivers if one.is_running), None)
    if runs is None or receiver is None or not receiver.came:
        return ""
    proofs = [row.proof for row in story.readings if row.at >= runs.since and row.proof is not None]
    if not proofs:
        return ""
    about = receiver.came * sum(proofs) / len(proofs) / 100
    return (
        f"About {about:.1f} PG more of {runs.fraction} in {receiver.vessel.code}, by the level and "
        "the mean of the proofs read; not gauged."
    )


def cut_buttons(story: Story) -> list[CutButton]:
    """The fractions that may begin now; the next in the usual order is marked."""
    if story.account != "production":
        return []
    went = _went_before(story)
    runs = story.running.fraction if story.running else ""
    known = [word for word in FRACTIONS if story.has_wash or word != "low wines"]
    after = known.index(runs) + 1 if runs in known else 0
    after = after if runs not in LAST else len(known)  # nothing usually follows
    found = [
        CutButton(word, went.get(word, ""), str(uuid4()), place == after)
        for place, word in enumerate(known)
        if word != runs
    ]
    earlier = set(known[:after])
    return sorted(found, key=lambda one: (not one.is_next, one.fraction in earlier))


def _went_before(story: Story) -> dict[str, str]:
    """Where each fraction of this still went last, by its own word."""
    rows = Movement.objects.filter(from_vessel=story.still, purpose__in=OUT)
    rows = rows.select_related("to_lot", "to_vessel").order_by("-at", "-pk")[:BEFORE]
    found: dict[str, str] = {}
    for row in rows:
        if row.to_lot and row.to_vessel:
            found.setdefault(fraction_of(row.to_lot.name), row.to_vessel.code)
    found |= {one.fraction: one.vessel.code for one in story.collected}
    return found | {one.fraction: one.receiver.code for one in story.stretches if one.receiver}


def to_gauge(story: Story) -> list[tuple[Stretch, str]]:
    """(fraction, address of its prefilled record) of what ran and was not collected yet."""
    return [
        (one, collect_address(story, one))
        for one in story.stretches
        if not (one.until and one.is_gauged)
    ]


def to_gauge_as_produced(story: Story) -> list[tuple[str, str]]:
    """(vessel code, address) of the production gauges that a closed run still waits for."""
    if story.account:
        return []
    lots = {one.lot.pk for one in story.collected if not is_kept_back(one.lot.name)}
    rows = Holding.objects.filter(LIVE, lot__in=lots, account="production")
    codes = rows.order_by("vessel__code").values_list("vessel__code", flat=True)
    address = reverse("record-operation", args=["production-gauge"])
    return [(code, f"{address}?{urlencode({'vessel': code})}") for code in codes]


def collect_address(story: Story, stretch: Stretch | None = None) -> str:
    """The record of a collection, with still, fraction and receiver filled in."""
    slug = ACCOUNTS.get(story.account, "collect")
    filled = {"vessel": story.still.code}
    into = stretch.receiver.code if stretch and stretch.receiver else ""
    if stretch and slug == "collect":
        filled |= {"fraction": stretch.fraction, "into": into}
    elif stretch:
        filled |= {"outputs-0-vessel": into}
    return f"{reverse('record-operation', args=[slug])}?{urlencode(filled)}"


def receivers_of(story: Story, premises: Premises, now: datetime) -> list[Receiver]:
    """Every vessel this run flowed into, what it holds, and how full it was read."""
    noted = [beside(row) for row in story.readings]
    vessels = {one.vessel.pk: one.vessel for one in story.collected}
    vessels |= {one.receiver.pk: one.receiver for one in noted if one and one.receiver}
    held = held_now(premises, vessel__in=vessels) if vessels else {}
    running = story.running.receiver if story.running else None
    return [
        _receiver(vessel, held.get(vessel.pk, []), _level(vessel, story), vessel == running, now)
        for vessel in sorted(vessels.values(), key=lambda one: one.code)
    ]


def _level(vessel: Vessel, story: Story) -> Level | None:
    """The last reading of its level, with the flow then, since it was gauged last."""
    gauged = [one.at for one in story.collected if one.vessel == vessel]
    found = [
        (row, more.level_gal, more.rate_gal_h)
        for row in story.readings
        if (more := beside(row)) and more.receiver_id == vessel.pk and more.level_gal is not None
        and not any(at > row.at for at in gauged)
    ]  # fmt: skip
    return found[-1] if found else None


def _receiver(
    vessel: Vessel, held: Sequence[Any], read: Level | None, is_running: bool, now: datetime
) -> Receiver:
    size = getattr(getattr(vessel, "sheet", None), "capacity_gal", None)
    book = gallons = Decimal(sum(one.wine_gallons for one in held)) / 100
    words = [f"holds {size} gal when full"] if size else []
    if read:
        row, gallons, rate = read
        at = row.at.astimezone(vessel.premises.zone)
        words.insert(0, f"read {gallons.normalize():f} gal at {at:%H:%M}")
        if size and is_running and rate:
            words.append(_full_in(size - gallons, rate, now - row.at))
    level = min(100, int(gallons * 100 / size)) if size else None
    holds = tuple(str(content(one)) for one in most_first(held)) or ("empty by the book",)
    return Receiver(
        vessel, holds, level, " · ".join(words), is_running, max(gallons - book, Decimal(0))
    )


def _full_in(room: Decimal, rate: Decimal, since: timedelta) -> str:
    left = timedelta(hours=float(room / rate)) - since
    flow = f"at {rate.normalize():f} gal an hour"
    if left <= timedelta(0):
        return f"{flow} it is full now: change the receiver"
    return f"{flow} full in {minutes_words(left)}"


def last_words(story: Story, shown: ShownIn, words: Any) -> str:
    """The newest reading in one line, as *words* tells a reading in the plant's units."""
    row = story.last_reading
    if row is None:
        return ""
    told, more = [words(row, shown)], beside(row)
    if more and more.condenser_f is not None:
        told.append(f"condenser {units.show(more.condenser_f, 'temperature', shown.temperature)}")
    if more and more.rate_gal_h is not None:
        told.append(f"{more.rate_gal_h.normalize():f} gal an hour")
    return " · ".join(part for part in (*told, f"by {row.by}") if part)
