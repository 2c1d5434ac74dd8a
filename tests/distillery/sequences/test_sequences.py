"""What holds after any sequence of acts: conservation, no negative moment, a true book, a trace.

Every example begins with the begun plant and is rolled back. ``SEQUENCES`` in the environment
asks for more examples than a run of all tests does.
"""

import os
from collections import defaultdict
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from ledger import totals
from ledger.accounts import INSIDE
from ledger.models import Holding, Lot, Movement, Period
from ledger.tracing import trace
from ledger.verifying import verify
from reports.month_end import filings_of, told
from tests.distillery.sequences.plant import begun
from tests.distillery.sequences.playing import STEP, Sequence, rolled_back

pytestmark = pytest.mark.django_db
EXAMPLES = int(os.environ.get("SEQUENCES", "12"))
LONGEST = int(os.environ.get("SEQUENCE_STEPS", "30"))
PROPERTY = settings(
    max_examples=EXAMPLES, deadline=None, database=None, print_blob=True,
    suppress_health_check=list(HealthCheck),
    phases=[Phase.explicit, Phase.generate, Phase.shrink],
)  # fmt: skip
YOUNGEST = 5
NEARLY = Decimal("1e-9")
STEPS = st.lists(STEP, min_size=10, max_size=LONGEST)


@pytest.fixture
def world():
    return begun()


def three(row):
    return (row.amount, row.wine_gallons, row.proof_gallons)


def movements(premises):
    rows = Movement.objects.filter(period__premises=premises)
    return rows.order_by("at", "entry__number", "leg")


def sides(row):
    yield -1, (row.from_account, row.from_lot_id, row.from_vessel_id)
    yield 1, (row.to_account, row.to_lot_id, row.to_vessel_id)


def nothing_is_made_or_lost(premises):
    """Each of the three measures: over all accounts, those outside the plant too, no change."""
    sums = defaultdict(lambda: [0, 0, 0])
    for row in movements(premises):
        for sign, (account, _, _) in sides(row):
            for index, value in enumerate(three(row)):
                sums[account][index] += sign * value
    for index in range(3):
        assert sum(total[index] for total in sums.values()) == 0
    held = defaultdict(lambda: [0, 0, 0])
    for row in Holding.objects.filter(premises=premises):
        for index, value in enumerate(three(row)):
            held[row.account][index] += value
    inside = {account: sums[account] for account in INSIDE if any(sums[account])}
    assert {account: total for account, total in held.items() if any(total)} == inside


def nothing_was_ever_negative(premises):
    """Walked instant by instant: what is booked at one instant stands together."""
    levels, moment = defaultdict(lambda: [0, 0, 0]), None
    for row in movements(premises):
        if row.at != moment:
            assert all(min(level) >= 0 for level in levels.values()), moment
        moment = row.at
        for sign, place in sides(row):
            if place[2]:
                for index, value in enumerate(three(row)):
                    levels[place][index] += sign * value
    assert all(min(level) >= 0 for level in levels.values())


def the_book_is_true(premises):
    """Rebuilt from its movements it equals what is kept; the seals hold (ledger/verifying.py)."""
    assert verify(premises).faults == []


def the_months_tie(premises):
    """Every check of every month's filings that would stop a closing holds."""
    for period in Period.objects.filter(premises=premises).order_by("month"):
        assert [told(one) for one in filings_of(premises, period.month).blocking] == []
        running = totals.running_before(premises, period.month)
        assert all(len(sums) == 3 for sums in running.values())


def some_lots(premises):
    """The youngest lots: what they came from is most of the book."""
    return list(Lot.objects.filter(premises=premises).order_by("-pk")[:YOUNGEST])


def the_trace_goes_both_ways(premises):
    """Back and forward name the same pairs with the same shares; no lot comes from itself."""
    for lot in some_lots(premises):
        for one in trace(lot, "back").kin:
            assert one.lot.pk != lot.pk
            assert 0 <= one.share <= 1 + NEARLY
            assert one.quantity >= 0
            again = trace(Lot.objects.get(pk=one.lot.pk), "forward")
            share = {kin.lot.pk: kin.share for kin in again.kin}
            assert abs(share[lot.pk] - one.share) < NEARLY


@PROPERTY
@given(steps=STEPS)
def test_after_any_sequence_the_book_is_whole(world, steps):
    with rolled_back():
        sequence = Sequence(world)
        sequence.play(steps)
        premises = world.premises
        nothing_is_made_or_lost(premises)
        nothing_was_ever_negative(premises)
        the_book_is_true(premises)
        the_months_tie(premises)
        the_trace_goes_both_ways(premises)
        assert all(sentence.rstrip().endswith((".", "?")) for _, sentence in sequence.told)
