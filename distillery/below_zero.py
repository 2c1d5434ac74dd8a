"""A record booked late in the open month that would leave a figure there below zero.

No form takes a figure below zero (official help of the three reports), and nothing takes a
reversal back again: such a month could be closed only after another correction. So it is asked
about, and amending the closed month is offered instead.
"""

from collections import defaultdict
from datetime import date

from django.db.models import Sum

from ledger.looking import Look
from ledger.models import Lot, Movement, Period, Premises
from ledger.plan import Leg, Plan, Question
from ledger.posting import LATE_OPEN, next_month

Flow = tuple[object, ...]
CODE = "below-zero"


def below_zero_question(late: str, plan: Plan, look: Look) -> tuple[Question, ...]:
    """Asks where *plan*, booked in the open month, takes more back there than went that way."""
    less = [leg for leg in plan.legs if leg.proof_gallons < 0]
    closed = look.premises.closed_through
    if late != LATE_OPEN or not less or closed is None:
        return ()
    month = next_month(closed)
    sums = _flows(look.premises, month)
    for leg in less:
        sums[_flow(leg, look)] += leg.proof_gallons
    if all(sums[_flow(leg, look)] >= 0 for leg in less):
        return ()
    text = (
        f"Booked in {month:%B %Y}, this takes back more than went that way in the month: a figure "
        "would be below zero, which no form takes, and the month could not be closed. Amend the "
        "closed month instead. Book it here all the same?"
    )
    return (Question(CODE, text),)


def _flow(leg: Leg, look: Look) -> Flow:
    before, after = (_designation(code, look) for code in (leg.origin.lot, leg.to.lot))
    return leg.origin.account, leg.to.account, leg.purpose, before, after


def _designation(code: str, look: Look) -> int | None:
    row = Lot.objects.filter(premises=look.premises, code=code).first() if code else None
    return row.designation_id if row else None


def _flows(premises: Premises, month: date) -> dict[Flow, int]:
    """What the month has by flow and kind, as it is booked."""
    found: dict[Flow, int] = defaultdict(int)
    period = Period.objects.filter(premises=premises, month=month).first()
    rows = Movement.objects.filter(period=period, amends=None) if period else None
    if rows is None:
        return found
    names = ("from_account", "to_account", "purpose", "from_designation", "to_designation")
    for *flow, total in rows.values_list(*names).annotate(Sum("proof_gallons")):
        found[tuple(flow)] = total
    return found
