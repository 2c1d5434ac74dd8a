"""Asks before foreshots go where spirits are kept: they are for disposal alone.

A second person looks, and the note names them; what really happened is recorded all the same
(common practice, no source).
"""

from ledger.looking import Look
from ledger.models import Vessel
from ledger.plan import Leg, Plan, Question

FORESHOTS = "foreshots"  # stands in the code of every lot of them; see ``operations.collect``
UNASKED = frozenset({"reverse", "correct"})  # what is taken back was asked about once
AT_THE_STILL = frozenset({"cut", "collect", "charge", "redistil_in"})  # from a run, into a run
KEEPERS = (Vessel.Kind.TANK, Vessel.Kind.BOTTLING_TANK, Vessel.Kind.BARREL)
SECOND = (
    "Foreshots are kept apart for disposal. If it is so, have a second person look, and write "
    "their name in the note."
)


def foreshots_question(operation: str, plan: Plan, look: Look) -> tuple[Question, ...]:
    """One question where foreshots meet other spirits, or go into a tank or a barrel."""
    legs = [leg for leg in plan.legs if leg.to.vessel and _touches(leg)]
    if operation in UNASKED or not legs:
        return ()
    mixed = [leg for leg in legs if _mixes(leg)]
    if mixed:
        text = f"In {mixed[0].to.vessel} foreshots and other spirits go together. {SECOND}"
        return (Question("foreshots-mingled", text),)
    kept = [leg for leg in legs if _moves(leg) and look.vessel(leg.to.vessel).kind in KEEPERS]
    if not kept:
        return ()
    text = f"Foreshots go into {kept[0].to.vessel}, where spirits are kept. {SECOND}"
    return (Question("foreshots-in-tank", text),)


def _touches(leg: Leg) -> bool:
    return FORESHOTS in leg.origin.lot or FORESHOTS in leg.to.lot


def _mixes(leg: Leg) -> bool:
    is_same = (FORESHOTS in leg.origin.lot) == (FORESHOTS in leg.to.lot)
    return not is_same and leg.purpose not in AT_THE_STILL


def _moves(leg: Leg) -> bool:
    return FORESHOTS in leg.to.lot and leg.origin.vessel != leg.to.vessel
