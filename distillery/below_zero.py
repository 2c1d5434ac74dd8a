"""A record that would leave a figure of a month below zero.

No form takes a figure below zero (official help of the three reports), and nothing takes a
reversal back again: such a month could be closed only after another correction. So it is asked
about. It comes of a reversal booked late in the open month; of taking back, later, what in that
month stood against it; and of a record made instead of another. A figure is a sum of flows, so
where no flow of a month is below zero, none of its figures is, on any report.
"""

from collections import defaultdict
from datetime import date

from ledger.errors import LedgerError
from ledger.looking import Look
from ledger.models import Entry, Lot, Movement, Period
from ledger.plan import Leg, Plan, Question
from ledger.posting import LATE_OPEN, months_of
from ledger.totals import GROUP, Key, flows

CODE = "below-zero"
SAID = "bottled-earlier"  # what tipping back asks of the same, with the way round
AMEND = " Amend the closed month instead."


def below_zero_question(
    late: str, plan: Plan, look: Look, reverses: Entry | None = None
) -> tuple[Question, ...]:
    """Asks where *plan*, which takes *reverses* back if any, takes back more than went that way."""
    less = [leg for leg in plan.legs if leg.proof_gallons < 0]
    if not less and look.without is None:
        return ()
    if any(one.code == SAID for one in plan.questions):
        return ()
    month = _counts_in(late, look, reverses)
    if month is None:
        return ()
    kinds = _designations(plan, look)
    changed: dict[date, set[Key]] = defaultdict(set)
    changed[month] |= {_key(leg, kinds) for leg in less}
    for day, key in _taken_back(look):
        changed[day].add(key)
    for day, keys in changed.items():
        sums = defaultdict(int, {key: three[2] for key, three in _flows(look, day).items()})
        for leg in plan.legs if day == month else ():
            sums[_key(leg, kinds)] += leg.proof_gallons
        if any(sums[key] < 0 for key in keys):
            return (_question(day, late),)
    return ()


def _question(month: date, late: str) -> Question:
    advice = AMEND if late == LATE_OPEN else ""
    text = (
        f"Booked in {month:%B %Y}, this takes back more than went that way in the month: a figure "
        f"would be below zero, which no form takes, and the month could not be closed.{advice} "
        "Book it here all the same?"
    )
    return Question(CODE, text)


def _counts_in(late: str, look: Look, reverses: Entry | None) -> date | None:
    """The month whose figures the act counts in; None where it cannot be booked as it is."""
    try:
        booked, amended = months_of(
            look.premises, look.at, late=late, reason="asked before it is told", reverses=reverses
        )
    except LedgerError:
        return None
    return amended or booked


def _key(leg: Leg, kinds: dict[str, int]) -> Key:
    before, after = kinds.get(leg.origin.lot), kinds.get(leg.to.lot)
    return (leg.origin.account, leg.to.account, leg.purpose, before, after, leg.cooperage,
            leg.taxed)  # fmt: skip


def _designations(plan: Plan, look: Look) -> dict[str, int]:
    codes = {code for leg in plan.legs for code in (leg.origin.lot, leg.to.lot) if code}
    rows = Lot.objects.filter(premises=look.premises, code__in=codes)
    return dict(rows.values_list("code", "designation"))


def _taken_back(look: Look) -> list[tuple[date, Key]]:
    """The flows of what was taken back just now, to be recorded anew, with their month."""
    if look.without is None:
        return []
    rows = Movement.objects.filter(entry__reverses=look.without)
    return [
        (later or month, tuple(key))
        for month, later, *key in rows.values_list("period__month", "amends__month", *GROUP)
    ]


def _flows(look: Look, month: date) -> dict[Key, list[int]]:
    return flows(Period.objects.filter(premises=look.premises, month=month).first())
