"""What a count asks before it is posted, and what it says of its notice."""

from collections.abc import Iterable

from distillery.counts import (
    BOTTLED,
    BULK,
    OTHER,
    QUARTER,
    Counted,
    figure,
    left_out,
    rolled_to,
    weekends_between,
)
from distillery.notices import inventory_notice, told_day
from distillery.operations.base import Fields
from ledger.looking import Held, Look
from ledger.models import Holding
from ledger.models.book import LIVE
from ledger.plan import Question

TWO = 2  # weekends
FAR_OFF = 10  # a difference of over a tenth of the holding and a proof gallon: our own figure


def far_off(counted: Iterable[Counted]) -> tuple[Question, ...]:
    """Asks when a count is so far from the book that it may be a slip of the pen."""
    told = [
        one.told() for one in counted if abs(one.difference[2]) > max(100, one.book[2] // FAR_OFF)
    ]
    if not told:
        return ()
    return (Question("far-from-the-book", f"{' '.join(told)} Is that what was found?"),)


def not_counted(kind: str, counted: list[Counted], look: Look) -> tuple[Question, ...]:
    """Asks when an inventory of the law leaves something out that the book has.

    Tanks and other bulk but no packages (27 CFR 19.312, 19.333, 19.371), or all that is bottled
    (27 CFR 19.372).
    """
    if kind == OTHER:
        return ()
    missing = left_out(counted, expected(kind, look))
    if not missing:
        return ()
    text = f"The book also has something in {', '.join(missing)}. Leave it out of this count?"
    return (Question("left-out", text),)


def expected(kind: str, look: Look) -> list[Held]:
    """What the book had that an inventory of this kind is about."""
    accounts = BULK if kind == QUARTER else ("finished",)
    rows = Holding.objects.filter(LIVE, premises=look.premises, account__in=accounts)
    if kind == QUARTER:
        rows = rows.exclude(vessel__kind="barrel")
    codes = sorted(set(rows.values_list("vessel__code", flat=True)))
    return [held for held in look(*codes) if held.account in accounts] if codes else []


def no_notice(fields: Fields, look: Look) -> list[str]:
    """Says when no notice of a bottled inventory is kept; the count is taken all the same."""
    if fields["kind"] != BOTTLED:
        return []
    day = fields["as_of"] or look.at.astimezone(look.premises.zone).date()
    found = inventory_notice(look.premises, day)
    if found is None:
        return ["No notice of this inventory is kept (27 CFR 19.372)."]
    return [f"Notice of this inventory was given {told_day(found.given_on)}."]


def far_from_day(fields: Fields, look: Look) -> tuple[Question, ...]:
    """Asks when more than one weekend lies between the count and its day (27 CFR 19.372)."""
    day, counted = fields["as_of"], look.at.astimezone(look.premises.zone).date()
    if fields["kind"] != BOTTLED or not day or weekends_between(day, counted) < TWO:
        return ()
    text = (
        f"More than one weekend lies between the count and {told_day(day)}, the day it stands for "
        "(27 CFR 19.372). Keep that day?"
    )
    return (Question("over-weekends", text),)


def for_its_day(fields: Fields, counted: list[Counted], look: Look) -> list[str]:
    """What each holding stands for at the end of the day that the count is for, if it is past."""
    day, today = fields["as_of"], look.at.astimezone(look.premises.zone).date()
    if fields["kind"] == OTHER or day is None or day >= today:
        return []
    found = [(one, rolled_to(one, look, day)) for one in counted]
    return [
        f"{one.held.vessel.code}, lot {one.held.lot.code}: {figure(one.held, three)} at the end "
        f"of {told_day(day)}."
        for one, three in found
        if three != one.found
    ]
