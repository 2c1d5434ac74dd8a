"""How the season is told: dated steps, each recorded through the same door as anything else."""

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from distillery import recording
from distillery.demo.plant import TABLET
from distillery.models import BottleCheck, Reading, ReadingVoid
from distillery.plans import total
from ledger.looking import Held, Look
from ledger.models import Entry, Premises

Step = Callable[[], object]
# Acts told at the shared tablet by the stills.
BY_THE_STILL = ("charge", "collect", "close-run", "stop-still", "run-on", "still-reading")


@dataclass
class Diary:
    """The season's pen: records at a moment, looks at the book as it was then, keeps the order."""

    premises: Premises
    user: Any
    until: datetime
    steps: list[tuple[datetime, int, Step]] = field(default_factory=list)
    now: datetime = field(default_factory=lambda: datetime.min)
    told: Counter[str] = field(default_factory=Counter)

    def at(self, day: date, clock: str, step: Step) -> None:
        """Plan *step* for *day* at *clock* of the plant's time, like ``07:30``."""
        hour, minute = map(int, clock.split(":"))
        moment = datetime(day.year, day.month, day.day, hour, minute, tzinfo=self.premises.zone)
        self.steps.append((moment, len(self.steps), step))

    def tell(self) -> Iterator[date]:
        """Take the steps in order up to ``until``; yields each month that has ended.

        A season that was broken off goes on where it stopped: each step writes one record, and
        those written are passed over.
        """
        month: date | None = None
        last, passed = self._written()
        for moment, _, step in sorted(self.steps, key=lambda row: row[:2]):
            if moment > self.until:
                break
            first = moment.date().replace(day=1)
            while month is not None and month < first:
                yield month
                month = (month + timedelta(days=32)).replace(day=1)
            month, self.now = first, moment
            if self._stamp() == last and passed:
                passed -= 1
            elif self._stamp() >= last:
                step()

    def _stamp(self) -> str:
        return f"season-{self.now:%Y%m%d-%H%M}"

    def _written(self) -> tuple[str, int]:
        """The stamp of the newest record of the season, and how many carry it."""
        keys = [
            *Entry.objects.filter(premises=self.premises).values_list("key", flat=True),
            *Reading.objects.filter(premises=self.premises).values_list("key", flat=True),
            *ReadingVoid.objects.filter(premises=self.premises).values_list("key", flat=True),
            *BottleCheck.objects.filter(premises=self.premises).values_list("key", flat=True),
        ]
        stamps = Counter(key[:20] for key in keys if key.startswith("season-"))
        last = max(stamps, default="")
        return last, stamps[last]

    def record(self, operation: str, **fields: Any) -> Entry | None:
        """Record one act now, or at ``at``; questions of the season's own making are confirmed."""
        start = f"{self._stamp()}-{operation}"
        self.told[start] += 1
        key = f"{start}-{fields.get('lot') or self.told[start]}"
        at = self.now.strftime("%Y-%m-%d %H:%M")
        data = {"operation": operation, "at": at, "key": key, **fields}
        if operation in BY_THE_STILL:
            data["tablet"] = TABLET
        try:
            done = recording.record(data, premises=self.premises, user=self.user)
        except recording.Asked as asked:
            codes = [question.code for question in asked.plan.questions]
            done = recording.record(
                {**data, "confirm": codes}, premises=self.premises, user=self.user
            )
        return done.entry

    def look(self, *vessels: str) -> list[Held]:
        """What *vessels* hold now."""
        return Look.now(self.premises, self.now)(*vessels)

    def gallons_in(self, vessel: str) -> Decimal:
        """Wine gallons in *vessel* now."""
        return Decimal(total(self.look(vessel))[0]) / 100

    def proof_gallons_in(self, vessel: str) -> Decimal:
        """Proof gallons in *vessel* now."""
        return Decimal(total(self.look(vessel))[1]) / 100


def gauged(volume: Decimal | float | str, proof: Decimal | float | str) -> dict[str, str]:
    """A gauge by volume at 60 °F, as typed."""
    return {
        "volume": f"{Decimal(volume):.2f} gal",
        "temperature": "60 F",
        "proof": f"{Decimal(proof):.1f}",
    }
