"""The book as of the moment of an act: what vessels held then, and the facts of their lots."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime

from django.db.models import Q

from ledger.errors import BadFact, UnknownName
from ledger.models import Holding, Lot, Movement, Premises, Vessel
from ledger.models.book import LIVE

Key = tuple[int, int, str]
Sums = list[int]


@dataclass(frozen=True, slots=True)
class Held:
    """One holding at a moment: integers as in the book; ``lot`` and ``vessel`` carry the facts."""

    lot: Lot
    vessel: Vessel
    account: str
    amount: int
    wine_gallons: int
    proof_gallons: int
    since: datetime

    @property
    def proof_tenths(self) -> int | None:
        """Strength by the book in tenths of a degree of proof; None when it holds no gallons."""
        if not self.wine_gallons:
            return None
        return (self.proof_gallons * 2000 + self.wine_gallons) // (2 * self.wine_gallons)


def _later(vessel_ids: Iterable[int], at: datetime, without: int | None = None) -> dict[Key, Sums]:
    """What movements after *at*, and those of entry *without*, added to each holding there."""
    ids = list(vessel_ids)
    rows = Movement.objects.filter(Q(from_vessel__in=ids) | Q(to_vessel__in=ids))
    if without is None:
        rows = rows.filter(at__gt=at)
    else:
        rows = rows.filter(Q(at__gt=at) | Q(entry=without)).exclude(entry__reverses=without)
    sums: dict[Key, Sums] = defaultdict(lambda: [0, 0, 0])
    wanted = set(ids)
    for row in rows.iterator():
        three = (row.amount, row.wine_gallons, row.proof_gallons)
        for sign, lot, vessel, account in (
            (-1, row.from_lot_id, row.from_vessel_id, row.from_account),
            (1, row.to_lot_id, row.to_vessel_id, row.to_account),
        ):
            if vessel in wanted and lot is not None:
                total = sums[(lot, vessel, account)]
                for place, value in enumerate(three):
                    total[place] += sign * value
    return sums


def held_then(
    vessels: Iterable[Vessel], at: datetime, without: int | None = None
) -> list[tuple[Held, Holding]]:
    """Every holding that was not empty in *vessels* just after *at*, oldest first, with its row.

    With *without*, as if that entry had never been, nor what takes it back.
    Two queries by index: what is live now, and what moved since. One with OR reads every
    holding of the book on SQLite, and a store has thousands of empty ones.
    """
    by_id = {vessel.pk: vessel for vessel in vessels}
    later = _later(by_id, at, without)
    rows = Holding.objects.filter(vessel__in=by_id).select_related("lot__designation")
    found = {row.pk: row for row in rows.filter(LIVE)}
    found |= {row.pk: row for row in rows.filter(lot__in={key[0] for key in later})}
    held = []
    for _, row in sorted(found.items()):
        less = later.get((row.lot_id, row.vessel_id, row.account), [0, 0, 0])
        three = (
            row.amount - less[0],
            row.wine_gallons - less[1],
            row.proof_gallons - less[2],
        )
        # Without an entry that later ones used, less than nothing may be left: it is not there.
        if any(three) and (without is None or min(three) >= 0):
            vessel = by_id[row.vessel_id]
            held.append((Held(row.lot, vessel, row.account, *three, since=row.since), row))
    return held


def held_now(premises: Premises, codes: Iterable[str]) -> list[tuple[Held, Holding]]:
    """Every holding not empty in the vessels named by *codes*, oldest first; one query."""
    rows = Holding.objects.filter(LIVE, vessel__premises=premises, vessel__code__in=codes)
    rows = rows.select_related("lot__designation", "vessel").order_by("pk")
    return [
        (
            Held(row.lot, row.vessel, row.account, row.amount, row.wine_gallons,
                 row.proof_gallons, since=row.since),
            row,
        )
        for row in rows
    ]  # fmt: skip


@dataclass
class Look:
    """The only window a plan has on the book. Remembers rows, so that the door can reuse them."""

    premises: Premises
    at: datetime
    without: int | None = None  # the entry that is looked past, when it is recorded anew
    vessels: dict[str, Vessel] = field(default_factory=dict)
    lots: dict[str, Lot] = field(default_factory=dict)
    _held: dict[str, list[Held]] = field(default_factory=dict)
    _rows: dict[tuple[str, str, str], Holding] = field(default_factory=dict)
    _read: set[str] = field(default_factory=set)

    @classmethod
    def now(cls, premises: Premises, at: datetime) -> "Look":
        """A look outside the lock: the premises row is read anew, since it tells what is late."""
        return cls(Premises.objects.get(pk=premises.pk), at)

    def __call__(self, *codes: str) -> list[Held]:
        """What the vessels named by *codes* held at the moment, in the order of the codes.

        Raises UnknownName for a code this plant does not have.
        """
        missing = [code for code in dict.fromkeys(codes) if code not in self._held]
        if missing:
            rows = self._read_held(missing)
            for code in missing:
                self._held[code] = []
            for held, row in rows:
                self._held[held.vessel.code].append(held)
                self.lots[held.lot.code] = held.lot
                self._rows[(held.account, held.lot.code, held.vessel.code)] = row
        return [held for code in dict.fromkeys(codes) for held in self._held[code]]

    def _read_held(self, codes: list[str]) -> list[tuple[Held, Holding]]:
        last = self.premises.last_happened_at
        if self.without is not None or (last is not None and self.at < last):
            return held_then(self.fetch_vessels(codes), self.at, self.without)
        rows = held_now(self.premises, codes)
        self.vessels.update((held.vessel.code, held.vessel) for held, _ in rows)
        self.fetch_vessels(codes)
        return rows

    def fetch_vessels(self, codes: Iterable[str]) -> list[Vessel]:
        """The vessels named by *codes*, remembered; UnknownName names the first that is not."""
        wanted = [code for code in dict.fromkeys(codes) if code not in self.vessels]
        if wanted:
            for row in Vessel.objects.filter(premises=self.premises, code__in=wanted):
                self.vessels[row.code] = row
        for code in codes:
            if code not in self.vessels:
                raise UnknownName(f"There is no vessel “{code}” here. Check its code.")
        return [self.vessels[code] for code in codes]

    def fetch_lots(self, codes: Iterable[str]) -> list[Lot]:
        """The lots named by *codes*, remembered; UnknownName names the first that is not."""
        wanted = [code for code in dict.fromkeys(codes) if code not in self.lots]
        if wanted:
            rows = Lot.objects.filter(premises=self.premises, code__in=wanted)
            for row in rows.select_related("designation"):
                self.lots[row.code] = row
        for code in codes:
            if code not in self.lots:
                raise UnknownName(f"There is no lot “{code}” here. Check its code.")
        return [self.lots[code] for code in codes]

    def vessel(self, code: str) -> Vessel:
        """The vessel with this code."""
        return self.fetch_vessels([code])[0]

    def lot(self, code: str) -> Lot:
        """The lot with this code."""
        return self.fetch_lots([code])[0]

    def in_account(self, code: str, *accounts: str) -> list[Held]:
        """What vessel *code* held at the moment in any of *accounts*."""
        return [held for held in self(code) if held.account in accounts]

    def one(self, code: str, *accounts: str) -> Held:
        """The single holding of vessel *code* in *accounts*; BadFact when none or several."""
        found = self.in_account(code, *accounts)
        if not found:
            raise BadFact(f"The book has nothing of that kind in {code} at that moment.")
        if len(found) > 1:
            lots = ", ".join(held.lot.code for held in found)
            raise BadFact(f"{code} holds several lots ({lots}); name the lot.")
        return found[0]

    def of_lot(self, code: str, *accounts: str) -> list[Held]:
        """Every vessel that held lot *code* at the moment, in any of *accounts* (all if none)."""
        lot = self.lot(code)
        rows = Holding.objects.filter(lot=lot).select_related("vessel")
        vessels = {row.vessel.code: row.vessel for row in rows}
        self.vessels.update(vessels)
        return [
            held
            for held in self(*sorted(vessels))
            if held.lot.code == code and (not accounts or held.account in accounts)
        ]

    def codes_like(self, prefix: str) -> set[str]:
        """Lot codes of this plant that begin with *prefix*."""
        rows = Lot.objects.filter(premises=self.premises, code__startswith=prefix)
        return set(rows.values_list("code", flat=True))

    def holdings(self, keys: Iterable[tuple[str, str, str]]) -> dict[tuple[str, str, str], Holding]:
        """The kept rows for (account, lot code, vessel code) *keys*, empty ones included."""
        keys = list(keys)
        unread = {key[1] for key in keys if key not in self._rows} - self._read
        unread &= self.lots.keys()  # a lot the plan itself opens holds nothing yet
        if unread:
            codes = {self.lots[code].pk: code for code in unread}
            for row in Holding.objects.filter(lot__in=codes).select_related("vessel"):
                self._rows[(row.account, codes[row.lot_id], row.vessel.code)] = row
            self._read |= unread
        return {key: self._rows[key] for key in keys if key in self._rows}

    def opened(self, lots: Iterable[Lot]) -> None:
        """Remember *lots* just opened: they hold nothing yet."""
        for lot in lots:
            self.lots[lot.code] = lot
            self._read.add(lot.code)
