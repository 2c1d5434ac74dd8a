"""Still runs: the lot that stands in a still, and what went in and came out of it so far."""

from collections import defaultdict
from dataclasses import dataclass, field
from decimal import Decimal

from distillery.botanicals import spells_of
from distillery.models import Reading
from distillery.wash import received_abv
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Lot, Movement, Vessel
from ledger.quantities import to_decimal, to_hundredths

FRACTIONS = ("foreshots", "heads", "hearts", "tails", "feints", "low wines")
# What is kept for another run or for disposal; only hearts are gauged as produced.
KEPT_BACK = frozenset(FRACTIONS) - {"hearts"}
# Alcohol by volume from the fall of gravity: good to about half a point, and an estimate only
# (common practice, no source).
ABV_PER_GRAVITY = Decimal("131.25")


def fraction_of(name: str) -> str:
    """``hearts`` of a lot named ``Hearts of R-7``; else what the lot is called."""
    return name.split(" of ")[0].lower()


def is_kept_back(name: str) -> bool:
    """Whether a lot of that name waits for another run, or to be destroyed, and for no gauge."""
    return fraction_of(name) in KEPT_BACK


@dataclass(slots=True)
class RunSums:
    """Hundredths so far: wash and spirits in, each fraction out (proof gallons)."""

    wash_in: dict[int, int] = field(default_factory=lambda: defaultdict(int))
    spirits_in: int = 0
    out: dict[str, int] = field(default_factory=lambda: defaultdict(int))

    @property
    def has_wash(self) -> bool:
        """Whether wash was charged, whose alcohol nobody has gauged."""
        return any(self.wash_in.values())

    @property
    def collected(self) -> int:
        """Proof gallons of all fractions."""
        return sum(self.out.values())


def run_in(look: Look, still: Vessel, *, name: str = "still") -> Held:
    """The run in *still* at that moment. Raises BadFact when none stands there."""
    found = [held for held in look.in_account(still.code, "production") if held.lot.stage == "run"]
    if not found:
        raise BadFact(f"No run stands in {still.code} by the book. Charge it first.", field=name)
    return found[0]


def standing_run(look: Look, still: Vessel, *, name: str = "still") -> Held:
    """The run in *still*, in production or inside processing. Raises BadFact when none stands."""
    found = [held for held in look(still.code) if held.lot.stage == "run"]
    if not found:
        raise BadFact(f"No run stands in {still.code} by the book. Charge it first.", field=name)
    return found[0]


def run_sums(look: Look, run: Lot) -> RunSums:
    """What the book has of *run*, and of the runs it goes on from, up to the moment of *look*;
    reversals subtract."""
    sums = RunSums()
    rows, runs = Movement.objects.filter(at__lte=look.at), spells_of(run)
    for row in rows.filter(to_lot__in=runs).exclude(from_lot__in=runs):
        if row.from_account == "fermenting" and row.from_lot_id:
            sums.wash_in[row.from_lot_id] += row.wine_gallons
        elif row.from_account in ("production", "redistil"):
            sums.spirits_in += row.proof_gallons
    fractions = rows.filter(to_lot__stage="fraction", purpose__in=("cut", "collect"))
    for row in fractions.filter(from_lot__in=runs).select_related("to_lot"):
        if row.to_lot is not None:
            sums.out[row.to_lot.code] += row.proof_gallons
    return sums


def wash_estimate(sums: RunSums) -> int | None:
    """Proof gallons in the wash charged, by first and last gravity, or the strength it came with.

    None where neither is known.
    """
    total = 0
    for lot, wine in sums.wash_in.items():
        gravities = list(
            Reading.objects.standing()
            .filter(lot=lot, gravity__isnull=False)
            .order_by("at")
            .values_list("gravity", flat=True)
        )
        if len(gravities) >= 2 and gravities[0] is not None and gravities[-1] is not None:
            percent = (gravities[0] - gravities[-1]) * ABV_PER_GRAVITY
        else:
            told = received_abv(Lot.objects.select_related("opened_by").get(pk=lot))
            if told is None:
                return None
            percent = told
        total += to_hundredths(to_decimal(wine) * max(percent, Decimal(0)) / 50)
    return total
