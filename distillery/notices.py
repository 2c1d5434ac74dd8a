"""What kept notices say: when production is suspended, and for which day an inventory is told."""

from dataclasses import dataclass
from datetime import date, timedelta

from distillery.business_days import business_days_between
from distillery.models import Notice
from ledger.looking import Look
from ledger.models import Premises
from ledger.plan import Plan, Question

NOTICE_DAYS = 5  # business days before the inventory of bottled goods (27 CFR 19.372)
# What makes or gauges spirits; taking stock of what is there is not production.
PRODUCING = frozenset({"mash", "charge", "collect", "cut", "deposit"})
PRODUCTION = frozenset({"mashed", "fermenting", "production"})


@dataclass(frozen=True, slots=True)
class Suspension:
    """Days on which production is suspended by notice; ``last`` is None while it lasts."""

    first: date
    last: date | None
    given_on: date

    def covers(self, first: date, last: date) -> bool:
        """Whether every day from *first* to *last* is one of them."""
        return self.first <= first and (self.last is None or last <= self.last)


def suspensions(premises: Premises) -> list[Suspension]:
    """The suspensions by the notices that stand, oldest first; one query.

    A suspension ends with the day its notice names, or the day before a resumption.
    """
    kinds = (Notice.Kind.SUSPENSION, Notice.Kind.RESUMPTION)
    rows = Notice.objects.filter(premises=premises, kind__in=kinds, is_void=False)
    ordered = sorted(rows, key=lambda row: (row.effective_from, row.pk))
    again = [row.effective_from for row in ordered if row.kind == Notice.Kind.RESUMPTION]
    return [
        Suspension(row.effective_from, _last(row, again), row.given_on)
        for row in ordered
        if row.kind == Notice.Kind.SUSPENSION
    ]


def _last(row: Notice, again: list[date]) -> date | None:
    ends = [day - timedelta(days=1) for day in again if day > row.effective_from]
    ends += [row.effective_to] if row.effective_to else []
    return min(ends, default=None)


def suspended(premises: Premises, first: date, last: date) -> Suspension | None:
    """The suspension that covers every day from *first* to *last*; None when none does."""
    return next((one for one in suspensions(premises) if one.covers(first, last)), None)


def suspension_question(plan: Plan, look: Look) -> tuple[Question, ...]:
    """Asks when spirits are made while production is suspended by notice (27 CFR 19.292)."""
    makes = any(
        leg.purpose in PRODUCING and PRODUCTION & {leg.origin.account, leg.to.account}
        for leg in plan.legs
    )
    if not makes:
        return ()
    day = look.at.astimezone(look.premises.zone).date()
    found = suspended(look.premises, day, day)
    if found is None:
        return ()
    text = (
        f"Production is suspended from {told_day(found.first)} by the notice of "
        f"{told_day(found.given_on)} (27 CFR 19.292). Was this done all the same?"
    )
    return (Question("production-suspended", text),)


def inventory_notice(premises: Premises, day: date) -> Notice | None:
    """The notice of a bottled inventory for *day*, or the nearest within a fortnight of it."""
    span = timedelta(days=14)
    rows = Notice.objects.filter(
        premises=premises, kind=Notice.Kind.INVENTORY, is_void=False,
        effective_from__range=(day - span, day + span),
    )  # fmt: skip
    return min(rows, key=lambda row: abs(row.effective_from - day), default=None)


def is_short(given_on: date, day: date) -> bool:
    """Whether a notice comes less than five business days before *day* (27 CFR 19.372)."""
    return business_days_between(given_on, day) < NOTICE_DAYS


def told_day(day: date) -> str:
    """``3 Jan 2026``."""
    return f"{day.day} {day:%b %Y}"
