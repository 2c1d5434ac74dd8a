"""What is done next at a vessel by what it holds, likeliest first.

The orders are those of the work itself (common practice, no source); what is not named here
follows in the order of the list of operations.
"""

from collections.abc import Iterable

from distillery.check_due import Due
from distillery.operations.base import Operation
from distillery.runs import fraction_of, is_kept_back
from ledger.looking import Held
from ledger.models import Vessel
from ledger.quantities import COUNTED

AT = {
    ("bin", ""): "receive-material",
    ("bin", "materials"): "mill receive-material return-material",
    ("fermenter", ""): "mash receive-distilling-material",
    ("fermenter", "fermenting"): "ferment-reading pitch charge move-wash lose",
    ("still", ""): "charge load-basket still-charge-processing",
    ("still", "materials"): "charge load-basket still-charge-processing",
    ("still", "production"): "still-reading collect stop-still load-basket close-run",
    ("still", "processing"): "still-reading still-collect-processing stop-still load-basket",
    ("receiver", "production"): "production-gauge",
    ("tank", "production"): "production-gauge",
    ("tote", "production"): "production-gauge",
    ("receiver", "redistil"): "charge transfer",
    ("tank", "redistil"): "charge transfer",
    ("tote", "redistil"): "charge transfer",
    ("tank", "storage"): "fill-barrels reduce dump transfer regauge",
    ("tote", "storage"): "dump draw-redistil reduce transfer regauge",
    ("barrel", "storage"): "barrel-sample regauge dump move-barrels",
    ("barrel", ""): "rinse barrel-care",
    ("barrel", "processing"): "barrel-sample dump-to-tank",
    ("tank", "processing"): "reduce filter blend open-bottling transfer",
    ("tote", "processing"): "reduce filter blend transfer",
    ("bottling_tank", "processing"): "open-bottling reduce filter transfer",
    ("store", "finished"): "remove move-cases recase",
    ("store", "taxpaid"): "taxpaid-sell move-cases",
}
# Low wines, heads and tails go back to a still; foreshots never do. Neither waits for a gauge.
OF_FEINTS = "charge transfer retire-feints"
OF_FORESHOTS = "retire-feints transfer"
LEAST = 99
# Milling is for grain, which is weighed by the pound: a shelf of bottles or yeast is none.
GRAIN_ONLY, GRAIN_UNITS = frozenset({"mill"}), frozenset({"lb", "kg"})
PIECES_ONLY = frozenset({"scrap-supplies"})
# A tank is bottled once at a time: what belongs to the bottling that is open, and what opens one.
OF_OPEN_BOTTLING = ("bottle", "bottle-check", "close-bottling", "tip-back")
STOPS, RUNS_ON = "stop-still", "run-on"
CHECK, OPENS = "bottle-check", "open-bottling"


def in_order(
    vessel: Vessel,
    held: Iterable[Held],
    acts: Iterable[Operation],
    *,
    bottling: Due | None = None,
    is_stopped: bool = False,
) -> list[Operation]:
    """*acts* without those that make no sense for what *vessel* holds, for the *bottling* that is
    open there, or for a still that stands stopped or runs; likeliest first."""
    rows = list(held)
    accounts = list(dict.fromkeys(one.account for one in rows)) or [""]
    slugs = [slug for account in accounts for slug in AT.get((vessel.kind, account), "").split()]
    ranked = {slug: place for place, slug in enumerate(dict.fromkeys(slugs))}
    if rows and all(is_kept_back(one.lot.name) for one in rows):
        ranked = _of_kept_back(rows)
    if is_stopped:
        ranked = {RUNS_ON: -1, **ranked}
    if bottling:
        first = (CHECK,) if bottling.is_due else ()
        ranked = {slug: n for n, slug in enumerate(dict.fromkeys((*first, *OF_OPEN_BOTTLING)))}
    fitting = [one for one in acts if _fits(one, vessel, rows)]
    fitting = [one for one in fitting if is_its_turn(one, is_open=bottling is not None)]
    fitting = [one for one in fitting if one.slug != (STOPS if is_stopped else RUNS_ON)]
    last = len(ranked)
    return sorted(fitting, key=lambda one: (ranked.get(one.slug, last), one.is_rare))


def _of_kept_back(held: list[Held]) -> dict[str, int]:
    has_foreshots = any(fraction_of(one.lot.name) == "foreshots" for one in held)
    order = (OF_FORESHOTS if has_foreshots else OF_FEINTS).split()
    return {slug: place for place, slug in enumerate(order)} | {"production-gauge": LEAST}


def is_its_turn(operation: Operation, *, is_open: bool) -> bool:
    """False for what belongs to an open bottling where none is, and for opening a second one."""
    return operation.slug != OPENS if is_open else operation.slug not in OF_OPEN_BOTTLING


def _fits(operation: Operation, vessel: Vessel, held: list[Held]) -> bool:
    if operation.slug == "charge":
        return (vessel.kind == Vessel.Kind.STILL) == all(one.account == "materials" for one in held)
    if not held:
        return True
    if operation.slug in GRAIN_ONLY:
        return any(one.lot.unit in GRAIN_UNITS for one in held)
    if operation.slug in PIECES_ONLY:
        return any(one.lot.unit in COUNTED for one in held)
    return True
