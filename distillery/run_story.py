"""A still run from its charge to its close, as the book and the readings have it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from distillery.botanicals import spells_of
from distillery.models import Reading, Remark, StillReading
from distillery.remarks import STATES
from distillery.runs import RunSums, fraction_of, run_sums, wash_estimate
from ledger.looking import Look
from ledger.models import Holding, Lot, Movement, Premises, Vessel
from ledger.models.book import LIVE

IN = ("charge", "redistil_in")
OUT = ("cut", "collect", "redistil_out")
# What all fractions of a run give of its charge, in per cent: common practice, no source. A wash
# is charged by an estimate of its gravity.
USUAL_SPIRITS, USUAL_WASH = (96, 100), (92, 99)


@dataclass(frozen=True, slots=True)
class Collected:
    """One collection: which fraction, where to, hundredths of a gallon, tenths of proof."""

    at: datetime
    number: int
    lot: Lot
    fraction: str
    vessel: Vessel
    wine: int
    proof_gallons: int
    proof: int | None


@dataclass(frozen=True, slots=True)
class Stretch:
    """A fraction from its cut to the next; ``is_gauged`` once it was collected."""

    fraction: str
    since: datetime
    until: datetime | None
    receiver: Vessel | None
    is_gauged: bool


@dataclass(frozen=True, slots=True)
class Story:
    """Everything of one run that its page shows."""

    run: Lot
    still: Vessel
    account: str  # "" once the run is closed
    started: datetime
    charged: tuple[Movement, ...]
    proof_in: int | None
    has_wash: bool
    collected: tuple[Collected, ...]
    readings: tuple[Reading, ...]
    stops: tuple[Remark, ...]
    stretches: tuple[Stretch, ...]

    @property
    def proof_out(self) -> int:
        """Hundredths of a proof gallon of all fractions."""
        return sum(one.proof_gallons for one in self.collected)

    @property
    def is_stopped(self) -> bool:
        """Whether the still stands stopped in the middle of the run."""
        return bool(self.stops) and self.stops[-1].kind == Remark.Kind.STOPPED

    @property
    def running(self) -> Stretch | None:
        """What runs now, by the last cut."""
        return self.stretches[-1] if self.stretches and self.account else None

    @property
    def last_read(self) -> datetime | None:
        """When the still was read last; a cut alone is no reading."""
        return self.last_reading.at if self.last_reading else None

    @property
    def last_reading(self) -> Reading | None:
        """The newest that is more than a cut."""
        return next((row for row in reversed(self.readings) if not is_bare_cut(row)), None)


def newest_spell(run: Lot) -> Lot:
    """The lot that *run* goes on as, when its basket was loaded from a younger lot; else itself."""
    while True:
        rows = Movement.objects.filter(from_lot=run, purpose="move", to_lot__stage="run")
        rows = rows.filter(entry__reversed_by=None, entry__reverses=None).exclude(to_lot=run)
        after = rows.select_related("to_lot__designation").first()
        if after is None or after.to_lot is None:
            return run
        run = after.to_lot


def story_of(run: Lot, *, premises: Premises, now: datetime) -> Story | None:
    """The story of *run* and the runs it goes on from; None when nothing of it stands charged."""
    spells = spells_of(run)
    charged = _charged(spells)
    still = next((row.to_vessel for row in charged if row.to_vessel), None)
    if still is None:
        return None
    held = Holding.objects.filter(LIVE, lot=run, vessel=still).first()
    sums = run_sums(Look.now(premises, now), run)
    collected = _collected(spells)
    readings = _readings(spells, still)
    return Story(
        run, still, held.account if held else "", charged[0].at, charged,
        _proof_in(charged, sums), sums.has_wash, collected, readings,
        _stops(spells, still), _stretches(readings, collected),
    )  # fmt: skip


def _live() -> Q:
    return Q(entry__reversed_by=None, entry__reverses=None)


def _charged(spells: Sequence[int]) -> tuple[Movement, ...]:
    rows = Movement.objects.filter(_live(), to_lot__in=spells, purpose__in=IN)
    related = ("entry", "from_lot", "from_vessel", "to_vessel__sheet")
    return tuple(rows.select_related(*related).order_by("at", "pk"))


def _proof_in(charged: Sequence[Movement], sums: RunSums) -> int | None:
    """Proof gallons charged; None where a wash was charged that nobody can estimate."""
    known = sum(row.proof_gallons for row in charged if row.from_account != "fermenting")
    if not sums.has_wash:
        return known
    estimate = wash_estimate(sums)
    return None if estimate is None else known + estimate


def _collected(spells: Sequence[int]) -> tuple[Collected, ...]:
    """A row a collection; what wash gave beyond the book's gallons counts with it."""
    rows = Movement.objects.filter(_live(), from_lot__in=spells, purpose__in=OUT)
    rows = rows.exclude(to_lot__in=spells)
    sums: dict[tuple[int, int, int], list[Movement]] = {}
    for row in rows.select_related("entry", "from_lot", "to_lot", "to_vessel__sheet").order_by(
        "at", "pk"
    ):
        if row.to_lot_id and row.to_vessel_id:
            sums.setdefault((row.entry_id, row.to_lot_id, row.to_vessel_id), []).append(row)
    return tuple(_one(rows) for rows in sums.values())


def _one(rows: Sequence[Movement]) -> Collected:
    first = rows[0]
    lot, vessel = first.to_lot, first.to_vessel
    if lot is None or vessel is None:
        raise TypeError(first)
    return Collected(
        first.at, first.entry.number, lot, fraction_of(lot.name), vessel,
        sum(row.wine_gallons for row in rows), sum(row.proof_gallons for row in rows), first.proof,
    )  # fmt: skip


def _readings(spells: Sequence[int], still: Vessel) -> tuple[Reading, ...]:
    rows = Reading.objects.standing().filter(lot__in=spells, vessel=still)
    return tuple(rows.select_related("still_reading__receiver__sheet").order_by("at", "pk"))


def beside(row: Reading) -> StillReading | None:
    """What was noted beside the figures every reading has, if it was noted as a still's."""
    found: StillReading | None = getattr(row, "still_reading", None)
    return found


def is_bare_cut(row: Reading) -> bool:
    """Whether nothing was read with a cut."""
    more = beside(row)
    figures = (row.temperature_f, row.proof, more.condenser_f, more.rate_gal_h) if more else (0,)
    return bool(more and more.cut) and all(one is None for one in figures)


def _stops(spells: Sequence[int], still: Vessel) -> tuple[Remark, ...]:
    rows = Remark.objects.filter(lot__in=spells, vessel=still, kind__in=STATES, is_void=False)
    return tuple(rows.order_by("at", "pk"))


def _stretches(readings: Sequence[Reading], collected: Sequence[Collected]) -> tuple[Stretch, ...]:
    """One a cut; of two cuts to the same fraction in a row the first counts."""
    cuts: list[tuple[str, datetime, Vessel | None]] = []
    for row in readings:
        more = beside(row)
        if more and more.cut and (not cuts or cuts[-1][0] != more.cut):
            cuts.append((more.cut, row.at, more.receiver))
    ends = [*(at for _, at, _ in cuts[1:]), None][: len(cuts)]
    return tuple(
        Stretch(
            fraction, at, end, receiver,
            any(one.fraction == fraction and one.at >= at for one in collected),
        )
        for (fraction, at, receiver), end in zip(cuts, ends, strict=True)
    )  # fmt: skip
