"""The gross convention for spirits redistilled inside processing (TTB F 5110.28, line 20).

What is charged leaves the account on line 20, and its product comes back on line 2. So between
the two it is out of the account: while the plant files gross, what stands in a still is kept
apart from lines 1 and 25, and lines 8 and 26 agree also when a run lies over a month's end.

When the convention changes while a still is charged, line 1 stays what line 25 said the month
before, and the charge goes over on line 20, or comes back on line 2.
"""

from dataclasses import replace
from typing import Any

from django.db.models import Case, Q, Sum, When

from ledger.flows import FLOWS
from ledger.models import Movement, Vessel
from ledger.quantities import to_decimal
from ledger.totals import GROUP, Key, add, balances
from reports.facts import END, ORIGIN
from reports.forms.processing_5110_28 import IN_STILL, gross
from reports.forms.shape import Edition
from reports.month_book import Balance, MonthBook, Sums, month_before

ACCOUNT, STILL = "processing", Vessel.Kind.STILL
_NAMES = [f"{name}_id" if name.endswith("designation") else name for name in GROUP]
_TOLD = "{} PG stood in a still when the convention changed: they went over on line {}."
STILL_FLOWS = frozenset(
    (origin, end, purpose)
    for first, last, purpose in FLOWS if first == last == ACCOUNT
    for origin, end in ((ACCOUNT, IN_STILL), (IN_STILL, ACCOUNT))
)  # fmt: skip


def key_of(movement: Movement, book: MonthBook) -> Key:
    """The flow that *movement* is summed in on the forms of *book*'s month."""
    key = [getattr(movement, name) for name in _NAMES]
    if book.editions.is_gross(book.month):
        for side, vessel in ((ORIGIN, movement.from_vessel), (END, movement.to_vessel)):
            if key[side] == ACCOUNT and vessel and vessel.kind == STILL:
                key[side] = IN_STILL
    return tuple(key)


def real(account: object) -> object:
    """The account of the book that a flow of a form's account is kept in."""
    return ACCOUNT if account == IN_STILL else account


def as_redistilled(
    edition: Edition, book: MonthBook
) -> tuple[Edition, MonthBook, tuple[str, ...]]:  # fmt: skip
    """The processing report's edition, book and notes by the plant's convention of the month."""
    now, before = (book.editions.is_gross(day) for day in (book.month, month_before(book.month)))
    if not now and not before:
        return edition, book, ()
    earlier, own = _still_sums(book)
    standing = balances(earlier)
    opening = _added(book.opening, standing) if before else book.opening
    flows = add({key: list(three) for key, three in book.flows.items()}, own if now else {})
    over = _gone_over(standing, is_gross=now) if now != before else {}
    flows = {key: three for key, three in add(flows, over).items() if any(three)}
    closing = _added(opening, balances(flows))
    told = to_decimal(sum(three[2] for three in over.values()))
    notes = (_TOLD.format(told, "20" if now else "2"),) if told else ()
    apart = replace(book, opening=opening, flows=flows, closing=closing)
    return gross(edition), apart, notes


def _still_sums(book: MonthBook) -> tuple[Sums, Sums]:
    """What turns flows of the account into flows of its stills: (before the month, of it)."""
    earlier: Sums = {}
    own: Sums = {}
    months = {period.pk: month for month, period in book.months.items()}
    for period, amends, from_still, to_still, *rest in _rows(book):
        month, key, three = months[amends or period], tuple(rest[:-3]), list(rest[-3:])
        if month <= book.month:
            # Opening balances typed in the month belong to line 1.
            is_own = month == book.month and key[ORIGIN] != "opening"
            renamed = (*(_end(from_still, key[ORIGIN]), _end(to_still, key[END])), *key[2:])
            add(own if is_own else earlier, {key: [-value for value in three]})
            add(own if is_own else earlier, {renamed: three})
    return earlier, own


def _rows(book: MonthBook) -> list[tuple[Any, ...]]:
    """Sums of what went into and out of stills in the account; one query."""
    stills = Vessel.objects.filter(premises=book.premises, kind=STILL)
    out, into = (Q(from_account=ACCOUNT, from_vessel__in=stills),
                 Q(to_account=ACCOUNT, to_vessel__in=stills))  # fmt: skip
    rows = Movement.objects.filter(out | into).annotate(
        out=Case(When(out, then=True), default=False),
        into=Case(When(into, then=True), default=False),
    )
    grouped = rows.values_list("period", "amends", "out", "into", *GROUP).annotate(
        Sum("amount"), Sum("wine_gallons"), Sum("proof_gallons")
    )
    return [tuple(row) for row in grouped]


def _end(is_still: bool, account: object) -> object:
    return IN_STILL if is_still else account


def _added(balance: Balance, more: Balance) -> Balance:
    """A balance with another added to it, side by side."""
    total = {side: list(three) for side, three in balance.items()}
    return add(total, more)  # type: ignore[arg-type,return-value]


def _gone_over(standing: Balance, *, is_gross: bool) -> Sums:
    """What stands in the stills crosses the account's border once, without a movement."""
    ends = (ACCOUNT, IN_STILL, "move") if is_gross else (IN_STILL, ACCOUNT, "move")
    return {
        (*ends, kind, kind, "", False): list(three)
        for (account, kind), three in standing.items() if account == IN_STILL and any(three)
    }  # fmt: skip
