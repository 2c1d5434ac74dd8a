"""The account of one bottling: its days, supplies, breakage, gain and loss (27 CFR 19.599)."""

from dataclasses import dataclass, field
from json import loads
from typing import Any

from django.db.models import Q

from distillery.case_serials import serials_of
from distillery.models import BottlingRun, CaseSerials
from ledger.models import Entry, Lot, Movement
from ledger.quantities import to_decimal


@dataclass(slots=True)
class Day:
    """One act of bottling: bottles and gallons in hundredths, the case numbers it used."""

    entry: Entry
    bottles: int = 0
    wine: int = 0
    proof: int = 0
    serials: str = ""
    from_loose: int = 0
    is_back: bool = False

    @property
    def wine_gallons(self) -> str:
        """To two places."""
        return f"{to_decimal(self.wine):,f}"

    @property
    def proof_gallons(self) -> str:
        """To two places."""
        return f"{to_decimal(self.proof):,f}"


@dataclass(slots=True)
class Supply:
    """A lot of empties, closures or labels: pieces used and scrapped."""

    lot: Lot
    used: int = 0
    scrapped: int = 0


@dataclass(slots=True)
class Account:
    """All of it, as the book stands now."""

    days: list[Day] = field(default_factory=list)
    supplies: list[Supply] = field(default_factory=list)
    broken: list[Movement] = field(default_factory=list)
    settled: list[tuple[str, str]] = field(default_factory=list)
    facts: dict[str, Any] = field(default_factory=dict)

    @property
    def bottles(self) -> int:
        """Bottles of all days."""
        return sum(day.bottles for day in self.days)

    @property
    def wine_gallons(self) -> str:
        """Wine gallons bottled."""
        return f"{to_decimal(sum(day.wine for day in self.days)):,f}"

    @property
    def proof_gallons(self) -> str:
        """Proof gallons bottled."""
        return f"{to_decimal(sum(day.proof for day in self.days)):,f}"


def account_of(run: BottlingRun) -> Account:
    """The account of *run*."""
    days = _days(run)
    entries = [day.entry.pk for day in days]
    return Account(
        days, _supplies(run, entries), _broken(run), _settled(run), loads(run.opened_by.form)
    )


def _days(run: BottlingRun) -> list[Day]:
    rows = Movement.objects.filter(
        to_lot__premises=run.premises, to_lot__code=run.lot_code, to_account="finished",
        purpose="bottle", from_account__in=("glass", "processing"),
    ).select_related("entry", "entry__reverses")  # fmt: skip
    days: dict[int, Day] = {}
    for row in rows.order_by("at", "pk"):
        day = days.setdefault(row.entry_id, Day(row.entry))
        day.bottles += row.amount
        day.wine += row.wine_gallons
        day.proof += row.proof_gallons
    for kept in CaseSerials.objects.filter(entry__in=days):
        days[kept.entry_id].serials = str(serials_of(kept))
        days[kept.entry_id].from_loose = kept.from_loose
    for day in days.values():
        if day.entry.reverses_id in days:
            days[day.entry.reverses_id].is_back = True
    return list(days.values())


def _during(run: BottlingRun) -> Q:
    """Between opening and close."""
    during = Q(at__gte=run.opened_by.happened_at)
    return during & Q(at__lte=run.closed_by.happened_at) if run.closed_by else during


def _supplies(run: BottlingRun, entries: list[int]) -> list[Supply]:
    broken = Q(entry__in=_breakage(run).values("entry"))
    rows = Movement.objects.filter(
        Q(entry__in=entries) | broken, from_account="materials", from_lot__isnull=False
    )
    found: dict[int, Supply] = {}
    for row in rows.select_related("from_lot").order_by("pk"):
        if row.from_lot is None:
            continue
        one = found.setdefault(row.from_lot.pk, Supply(row.from_lot))
        if row.to_account == "glass":
            one.used += row.amount
        else:
            one.scrapped += row.amount
    return list(found.values())


def _breakage(run: BottlingRun) -> Any:
    rows = Movement.objects.filter(to_account="loss", purpose="breakage")
    at_the_line = Q(from_account="processing", from_vessel=run.vessel) & _during(run)
    in_store = Q(
        from_account="finished", from_lot__premises=run.premises, from_lot__code=run.lot_code
    )
    return rows.filter(at_the_line | in_store)


def _broken(run: BottlingRun) -> list[Movement]:
    return list(_breakage(run).select_related("entry", "from_vessel").order_by("at", "pk"))


def _settled(run: BottlingRun) -> list[tuple[str, str]]:
    """What the tank gauge and the close found over or under the book."""
    told = []
    for title, entry in (("at the tank gauge", run.opened_by), ("at the close", run.closed_by)):
        if entry is None:
            continue
        rows = list(entry.movements.all())
        lost = sum(row.proof_gallons for row in rows if row.to_account == "loss")
        gained = sum(row.proof_gallons for row in rows if row.from_account == "gain")
        words = f"{to_decimal(lost):,f} PG lost" if lost else "no loss or gain"
        told.append((title, f"{to_decimal(gained):,f} PG gained" if gained else words))
    return told
