"""What an instrument's reading means: its correction, what is wrong with it, when it is due."""

from bisect import bisect_left
from calendar import monthrange
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple

from distillery.models import Instrument
from ledger.models import Premises

AHEAD = timedelta(days=30)  # how long before its day a test is told of
SECTIONS = {"scale": "27 CFR 19.186", "meter": "27 CFR 19.188"}


@dataclass(frozen=True)
class AsRead:
    """A corrected reading, in the unit it was read in. ``faults`` are sentences; empty is well."""

    value: Decimal
    steps: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()


class Due(NamedTuple):
    """A test coming or missed; ``on`` is None for an instrument that was never tested."""

    instrument: Instrument
    on: date | None
    is_overdue: bool


def as_read(instrument: Instrument, value: Decimal, *, day: date) -> AsRead:
    """*value* as read on *day*, with the instrument's own correction added (27 CFR 30.23).

    Nothing is rounded. Asks the database nothing where ``corrections`` was fetched with the
    instrument, as InstrumentField does.
    """
    rows = sorted((row.at, row.add) for row in instrument.corrections.all())
    faults = tuple(filter(None, (off_range(instrument, value), *not_fit(instrument, day))))
    read = f"{instrument.code} read {plain(value)} {instrument.unit}"
    if not rows:
        return AsRead(value, (f"{read}; it has no correction to add.",), faults)
    add, words = correction(rows, value)
    right = shortened(value + add)
    step = (
        f"{read}; its correction there is {signed(add)}{words}: "
        f"{plain(right)} {instrument.unit} (27 CFR 30.23)."
    )
    return AsRead(right, (step,), faults)


def correction(rows: Sequence[tuple[Decimal, Decimal]], value: Decimal) -> tuple[Decimal, str]:
    """What to add at *value*, and how it was found, from sorted (reading, add) *rows*.

    Beyond the first or last row, the correction of that row.
    """
    readings = [at for at, _ in rows]
    place = bisect_left(readings, value)
    if place < len(rows) and readings[place] == value:
        return rows[place][1], ""
    if place in (0, len(rows)):
        at, add = rows[min(place, len(rows) - 1)]
        return add, f", that of {plain(at)}, the nearest given"
    (low, below), (high, above) = rows[place - 1], rows[place]
    add = below + (above - below) * (value - low) / (high - low)
    words = f", between {signed(below)} at {plain(low)} and {signed(above)} at {plain(high)}"
    return add, words


def off_range(instrument: Instrument, value: Decimal) -> str:
    """A sentence where *value* cannot have been read on it, else ""."""
    if instrument.low <= value <= instrument.high:
        return ""
    spindle = "spindle " if instrument.kind == "hydrometer" else ""
    return (
        f"{plain(value)} is off {spindle}{instrument.code}, which reads {plain(instrument.low)} "
        f"to {plain(instrument.high)} {instrument.unit}. Read it on one that covers it."
    )


def not_fit(instrument: Instrument, day: date) -> list[str]:
    """Sentences on why it ought not to be used on *day*."""
    found = []
    if instrument.is_retired:
        found.append(f"{instrument.code} is out of use. Use another.")
    due_on = next_test(instrument)
    law = SECTIONS.get(instrument.kind)
    months = instrument.months_between_tests
    often = "every month" if months == 1 else f"every {months} months"
    why = f"{often}, {law or 'common practice'}"
    if due_on is None:
        found.append(f"No test of {instrument.code} is on record. Test it ({why}).")
    elif day > due_on:
        found.append(
            f"The test of {instrument.code} was due by {due_on:%-d %b %Y}. Test it ({why})."
        )
    return found


def next_test(instrument: Instrument) -> date | None:
    """The last day before its test is overdue; None when it was never tested."""
    tested = instrument.last_tested
    if tested is None:
        return None
    years, month = divmod(tested.month - 1 + instrument.months_between_tests, 12)
    year, month = tested.year + years, month + 1
    return date(year, month, min(tested.day, monthrange(year, month)[1]))


def due(premises: Premises, day: date) -> list[Due]:
    """Tests overdue on *day* or due within 30 days, those never tested first; one query."""
    found = []
    for instrument in Instrument.objects.filter(premises=premises, is_retired=False):
        on = next_test(instrument)
        if on is None or on <= day + AHEAD:
            found.append(Due(instrument, on, on is None or on < day))
    return sorted(found, key=lambda one: (one.on or date.min, one.instrument.code))


def due_words(one: Due) -> str:
    """The same as a sentence for a list of what to do."""
    if one.on is None:
        return f"{one.instrument}: no test on record."
    day = f"{one.on:%-d %b %Y}"
    return f"{one.instrument}: test {'was' if one.is_overdue else 'is'} due by {day}."


def plain(number: Decimal) -> str:
    """A number without the zeros that only its column has."""
    return f"{number:.5f}".rstrip("0").rstrip(".")


def shortened(number: Decimal) -> Decimal:
    """The same number without a column's zeros; one with more places than shown as it is."""
    short = Decimal(plain(number))
    return short if short == number else number


def signed(number: Decimal) -> str:
    """What is added, with its sign."""
    return plain(number) if number < 0 else f"+{plain(number)}"
