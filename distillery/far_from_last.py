"""Asks when a gauge finds a strength far from what the book has in the vessel."""

from ledger.looking import Look
from ledger.models import Vessel
from ledger.plan import Leg, Plan, Question

FAR = 200  # tenths: twenty degrees of proof, our own figure
UNASKED = frozenset({"reverse", "correct"})  # what is taken back was asked about once


def far_question(operation: str, plan: Plan, look: Look) -> tuple[Question, ...]:
    """One question for all vessels of *plan* that *operation* gauged far from the book."""
    if operation in UNASKED:
        return ()
    told = dict.fromkeys(text for leg in plan.legs if (text := _far(leg, look)))
    if not told:
        return ()
    return (Question("far-from-last", f"{'; '.join(told)}. Keep it?"),)


def _far(leg: Leg, look: Look) -> str:
    # New spirits have no earlier gauge to be far from; a still gives what was never in it.
    if leg.proof is None or not leg.origin.vessel or leg.origin.account == "production":
        return ""
    rows = [h for h in look(leg.origin.vessel) if h.proof_gallons > 0]
    if len(rows) != 1 or rows[0].lot.code != leg.origin.lot:
        return ""
    if rows[0].vessel.kind == Vessel.Kind.STILL:
        return ""
    last = rows[0].proof_tenths
    if last is None or abs(leg.proof - last) <= FAR:
        return ""
    return f"{leg.origin.vessel}: last {last / 10:.1f} proof by the book, now {leg.proof / 10:.1f}"
