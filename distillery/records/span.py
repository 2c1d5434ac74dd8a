"""The book of some days: what every record of them is read from, each query made once."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import cached_property
from json import loads
from typing import Any

from distillery.models import Barrel, KeptSlip
from ledger.models import Entry, Movement, Premises
from ledger.plan import Slip

Day = date
LOTS = ("from_lot", "from_lot__designation", "to_lot", "to_lot__designation")
VESSELS = ("from_vessel", "to_vessel")
# What is told of an entry beside its own columns.
KIN = ("reverses", "corrects", "reversed_by", "amends")
ENTRY = tuple(f"entry__{name}" for name in KIN)


@dataclass(frozen=True)
class Span:
    """The days *first* to *last* of one plant, both included, in the plant's own time.

    ``kept`` holds what several records work out from it once.
    """

    premises: Premises
    first: Day
    last: Day
    kept: dict[str, Any] = field(default_factory=dict, compare=False, repr=False)

    @property
    def start(self) -> datetime:
        """The first moment."""
        return datetime.combine(self.first, time.min, self.premises.zone)

    @property
    def end(self) -> datetime:
        """The first moment after it."""
        return datetime.combine(self.last + timedelta(days=1), time.min, self.premises.zone)

    def date(self, at: datetime) -> Day:
        """The plant's date of an instant."""
        return at.astimezone(self.premises.zone).date()

    def day(self, at: datetime) -> str:
        """The plant's date of an instant, like 2026-03-25."""
        return f"{self.date(at):%Y-%m-%d}"

    def moment(self, at: datetime) -> str:
        """An instant in the plant's own time, to the minute."""
        return f"{at.astimezone(self.premises.zone):%Y-%m-%d %H:%M}"

    @cached_property
    def entries(self) -> list[Entry]:
        """What happened in these days, in its order."""
        rows = Entry.objects.filter(premises=self.premises, happened_at__gte=self.start)
        rows = rows.filter(happened_at__lt=self.end).order_by("happened_at", "number")
        found = list(rows.select_related(*KIN))
        for entry in found:
            entry.premises = self.premises
        return found

    def of(self, *slugs: str) -> list[Entry]:
        """The entries of these operations."""
        return [entry for entry in self.entries if entry.operation in slugs]

    @cached_property
    def movements(self) -> list[Movement]:
        """What moved in these days, in its order, with lots, vessels and entries."""
        by_id = {entry.pk: entry for entry in self.entries}
        rows = Movement.objects.filter(
            entry__premises=self.premises, entry__happened_at__gte=self.start,
            entry__happened_at__lt=self.end,
        )  # fmt: skip
        found = list(rows.select_related(*LOTS, *VESSELS))
        for row in found:
            row.entry = by_id[row.entry_id]
        found.sort(key=lambda row: (row.at, row.entry.number, row.leg))
        return found

    @cached_property
    def _by_entry(self) -> dict[int, list[Movement]]:
        found: dict[int, list[Movement]] = defaultdict(list)
        for row in self.movements:
            found[row.entry_id].append(row)
        return found

    def legs(self, entry: Entry) -> list[Movement]:
        """The movements of an entry of these days."""
        return self._by_entry.get(entry.pk, [])

    @cached_property
    def forms(self) -> dict[int, dict[str, Any]]:
        """Each entry's form as it was filled in, by the entry's key."""
        return {entry.pk: loads(entry.form) for entry in self.entries}

    def form(self, entry: Entry) -> dict[str, Any]:
        """What was filled in for *entry*; that of the entry it takes back is not looked at."""
        return self.forms[entry.pk]

    @cached_property
    def _slips(self) -> dict[int, list[Slip]]:
        found: dict[int, list[Slip]] = defaultdict(list)
        rows = KeptSlip.objects.filter(
            entry__premises=self.premises, entry__happened_at__gte=self.start,
            entry__happened_at__lt=self.end,
        )  # fmt: skip
        for row in rows.order_by("entry", "order"):
            found[row.entry_id].append(row.slip)
        return found

    def slips(self, entry: Entry) -> list[Slip]:
        """How the figures of *entry* were found."""
        return self._slips.get(entry.pk, [])

    @cached_property
    def barrels(self) -> dict[int, Barrel]:
        """The plant's barrels by their vessel."""
        rows = Barrel.objects.filter(vessel__premises=self.premises).select_related("vessel")
        return {row.vessel_id: row for row in rows}

    @cached_property
    def corrected_by(self) -> dict[int, list[int]]:
        """Numbers of the entries that correct an entry, whenever they happened."""
        found: dict[int, list[int]] = defaultdict(list)
        rows = Entry.objects.filter(premises=self.premises, corrects__isnull=False)
        for pk, number in rows.order_by("number").values_list("corrects", "number"):
            found[pk or 0].append(number)
        return found

    @cached_property
    def through(self) -> tuple[int, str]:
        """The newest entry of the book these records rest on, and its seal."""
        return self.premises.last_number, self.premises.last_seal

    def month_ends(self) -> Iterator[Day]:
        """The last days of months that lie in the span."""
        day = self.first
        while day <= self.last:
            following = (day.replace(day=28) + timedelta(days=4)).replace(day=1)
            end = following - timedelta(days=1)
            if end <= self.last:
                yield end
            day = following
