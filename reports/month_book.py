"""One month of the book as the filings read it: opening, flows and closing, in five queries.

A closed month is read from the totals its closing stored, an open one from the last closing
and the few open months since; neither grows with the history. Entries booked later that amend
a month count in it, and the status says so.
"""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cached_property

from django.db.models import Q, Sum

from distillery.counts import last_count
from ledger.errors import BadFact
from ledger.models import Designation, Entry, FlowTotal, Movement, Period, Premises
from ledger.posting import next_month
from ledger.totals import GROUP, Key, Three, add, balances
from reports.editions import Editions, read_editions

Balance = dict[tuple[str, int | None], Three]
Sums = dict[Key, Three]
OPEN, CLOSED = Period.State.OPEN, Period.State.CLOSED


def read_month(text: str) -> date:
    """The first day of a month written like 2026-03. Raises BadFact otherwise."""
    try:
        return date.fromisoformat(f"{text}-01")
    except ValueError:
        raise BadFact(f"“{text}” is not a month. Write it like 2026-03.") from None


def month_before(month: date) -> date:
    """First day of the month before *month*."""
    return (month - timedelta(days=1)).replace(day=1)


@dataclass(frozen=True)
class MonthBook:
    """A month's figures: integers as in the book, keyed by flow or by (account, designation).

    ``present`` is the balance of the whole book now, known only while the month is open (None
    otherwise); ``closed_before`` is what the month before closed with, None when it is open.
    """

    premises: Premises
    month: date
    period: Period | None
    opening: Balance
    flows: Sums
    closing: Balance
    designations: dict[int, Designation]
    is_amended: bool = False
    present: Balance | None = None
    closed_before: Balance | None = None
    months: dict[date, Period] = field(default_factory=dict)

    @property
    def is_open(self) -> bool:
        """Whether the month still takes movements."""
        return self.period is None or self.period.state == OPEN

    @property
    def status(self) -> str:
        """The month's state in words."""
        if self.period is None:
            return "open"
        words = self.period.get_state_display()
        return f"{words}, amended since" if self.is_amended else words

    @property
    def last_day(self) -> date:
        """The last day of the month."""
        return next_month(self.month) - timedelta(days=1)

    @cached_property
    def editions(self) -> Editions:
        """The forms as this plant has them; three queries."""
        return read_editions(self.premises)

    @cached_property
    def last_count(self) -> Entry | None:
        """The newest count that stands for a day up to the month's end; one query."""
        return last_count(self.premises, self.last_day)

    @property
    def through(self) -> tuple[int, str]:
        """The number of the newest entry this reading rests on, and its seal."""
        if self.period and not self.is_open and not self.is_amended:
            return self.period.closed_number or 0, self.period.closed_seal
        return self.premises.last_number, self.premises.last_seal


def _grouped_by_month(rows: Q) -> list[tuple[int, int | None, Key, Three]]:
    query = Movement.objects.filter(rows).values_list("period", "amends", *GROUP)
    query = query.annotate(Sum("amount"), Sum("wine_gallons"), Sum("proof_gallons"))
    return [(row[0], row[1], tuple(row[2:-3]), list(row[-3:])) for row in query]


def _stored(period: Period) -> tuple[Sums, Sums]:
    """(own sums, running sums before them) as the closing of *period* stored them."""
    own: Sums = {}
    before: Sums = {}
    rows = FlowTotal.objects.filter(period=period).values_list(
        *GROUP, "amount", "wine_gallons", "proof_gallons",
        "run_amount", "run_wine_gallons", "run_proof_gallons",
    )  # fmt: skip
    for row in rows:
        key, three, run = tuple(row[:-6]), list(row[-6:-3]), list(row[-3:])
        if any(three):
            own[key] = three
        before[key] = [total - mine for total, mine in zip(run, three, strict=True)]
    return own, before


def _moved_opening(opening: Sums, own: Sums) -> Sums:
    """Take the opening balances typed this month out of *own*: they belong to line 1, not 2."""
    typed = {key: three for key, three in own.items() if key[0] == "opening"}
    add(opening, typed)
    return {key: three for key, three in own.items() if key not in typed and any(three)}


def _sorted_in(
    rows: list[tuple[int, int | None, Key, Three]], months: dict[int, date], month: date,
    opening: Sums, own: Sums,
) -> None:  # fmt: skip
    """Add each group to *opening* or *own* by the month it counts in; later ones to neither."""
    for period, amends, key, three in rows:
        counts_in = months[amends or period]
        if counts_in <= month:
            add(own if counts_in == month else opening, {key: list(three)})


def read_book(premises: Premises, month: date) -> MonthBook:
    """The book of *month* (its first day) as it stands now, amendments included."""
    months = {period.month: period for period in Period.objects.filter(premises=premises)}
    dates = {period.pk: day for day, period in months.items()}
    period = months.get(month)
    before = months.get(month_before(month))
    closed_before = _closing_of(before) if before and before.state != OPEN else None
    if period and period.state != OPEN:
        return _closed_book(premises, period, months, dates, closed_before)
    return _open_book(premises, month, months, dates, closed_before)


def _closing_of(period: Period) -> Balance:
    own, before = _stored(period)
    return balances(add(before, own))


def _closed_book(
    premises: Premises, period: Period, months: dict[date, Period], dates: dict[int, date],
    closed_before: Balance | None,
) -> MonthBook:  # fmt: skip
    own, opening = _stored(period)
    later = [pk for pk, day in dates.items() if day > period.month]
    amending = Q(amends__isnull=False, amends__in=[pk for pk in dates if pk not in later])
    late = _grouped_by_month(amending & Q(period__in=later)) if later else []
    _sorted_in(late, dates, period.month, opening, own)
    return _book(premises, period.month, months, opening, own,
                 is_amended=bool(late), closed_before=closed_before)  # fmt: skip


def _open_book(
    premises: Premises, month: date, months: dict[date, Period], dates: dict[int, date],
    closed_before: Balance | None,
) -> MonthBook:  # fmt: skip
    shut = [period for day, period in months.items() if day < month and period.state != OPEN]
    last = max(shut, key=lambda period: period.month, default=None)
    opening: Sums = {}
    own: Sums = {}
    if last:
        last_own, opening = _stored(last)
        add(opening, last_own)
    since = [pk for pk, day in dates.items() if last is None or day > last.month]
    rows = _grouped_by_month(Q(period__in=since)) if since else []
    everything = {key: list(three) for key, three in opening.items()}
    for _, _, key, three in rows:
        add(everything, {key: three})
    _sorted_in(rows, dates, month, opening, own)
    return _book(premises, month, months, opening, own,
                 present=balances(everything), closed_before=closed_before)  # fmt: skip


def _book(
    premises: Premises, month: date, months: dict[date, Period], opening: Sums, own: Sums,
    *, present: Balance | None = None, closed_before: Balance | None = None,
    is_amended: bool = False,
) -> MonthBook:  # fmt: skip
    own = _moved_opening(opening, own)
    closing: Balance = defaultdict(lambda: [0, 0, 0])
    closing.update({key: list(three) for key, three in balances(opening).items()})
    for side, three in balances(own).items():
        closing[side] = [a + b for a, b in zip(closing[side], three, strict=True)]
    used = {side[1] for side in (*closing, *(present or ()), *(closed_before or ()))}
    return MonthBook(
        premises, month, months.get(month), balances(opening), own, closing,
        Designation.objects.in_bulk(sorted(pk for pk in used if pk is not None)),
        is_amended=is_amended, present=present, closed_before=closed_before, months=months,
    )  # fmt: skip
