"""What holds after any sequence of acts: the book's own invariants, tried by Hypothesis.

Every example runs in a transaction of its own that is rolled back. The plain ``django_db`` mark
would put all examples of a test into one transaction; ``transaction=True`` opens none.
"""

from collections import defaultdict
from contextlib import contextmanager

import pytest
from django.db import connection, transaction
from hypothesis import HealthCheck, given, settings

from ledger import totals
from ledger.models import Descent, Entry, Holding, Movement, Period, Premises
from ledger.verifying import verify
from tests.ledger.raw import make_plant, take_back
from tests.ledger.sequences import STEPS, Season

PROPERTY = settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow], database=None
)
pytestmark = pytest.mark.django_db(transaction=True)


@contextmanager
def rolled_back():
    """A plant and a transaction that leaves nothing behind."""
    outer = transaction.atomic()
    outer._from_testcase = True
    with outer:
        yield Season(make_plant())
        connection.check_constraints()
        transaction.set_rollback(True)


def three(row):
    return (row.amount, row.wine_gallons, row.proof_gallons)


def add(total, sign, row):
    for index, value in enumerate(three(row)):
        total[index] += sign * value


def movements(premises):
    rows = Movement.objects.filter(period__premises=premises).order_by("at", "entry__number", "leg")
    return rows.select_related("from_lot", "from_vessel", "to_lot", "to_vessel", "amends", "period")


def sides(row):
    """The two places of a movement with their signs, boundary sides by account and lot."""
    for sign, account, lot, vessel in (
        (-1, row.from_account, row.from_lot, row.from_vessel),
        (1, row.to_account, row.to_lot, row.to_vessel),
    ):
        yield sign, (account, lot.code if lot else "", vessel.code if vessel else "")


def kept_holdings(premises):
    rows = Holding.objects.filter(premises=premises).select_related("lot", "vessel")
    return {(row.account, row.lot.code, row.vessel.code): list(three(row)) for row in rows}


def as_they_stand(premises):
    """Every figure of the kept state, to compare before and after."""
    premises = Premises.objects.get(pk=premises.pk)
    entries = list(Entry.objects.order_by("number").values_list("number", "key", "seal"))
    pairs = list(Descent.objects.order_by("pk").values_list("parent", "child", "proof_gallons"))
    return premises.last_number, premises.last_seal, entries, pairs, kept_holdings(premises)


@PROPERTY
@given(STEPS)
def test_every_quantity_is_conserved_to_the_last_integer(steps):
    with rolled_back() as season:
        season.play(steps)
        inside = {key: list(sums) for key, sums in season.told.items() if key[2]}
        assert kept_holdings(season.premises) == inside
        for index in range(3):
            # What stands in the plant is what came over its border less what went.
            border = sum(sums[index] for key, sums in season.told.items() if not key[2])
            assert sum(sums[index] for sums in inside.values()) == -border


@PROPERTY
@given(STEPS)
def test_no_holding_is_negative_at_any_moment(steps):
    """Order of a holding's life: instant, then number; what is taken back stands at one instant."""
    with rolled_back() as season:
        season.play(steps)
        levels, moment = defaultdict(lambda: [0, 0, 0]), None
        for row in movements(season.premises):
            if row.at != moment:
                assert all(min(level) >= 0 for level in levels.values()), moment
            moment = row.at
            for sign, place in sides(row):
                if place[2]:
                    add(levels[place], sign, row)
        assert all(min(level) >= 0 for level in levels.values())


@PROPERTY
@given(STEPS)
def test_what_is_kept_equals_what_the_movements_say(steps):
    with rolled_back() as season:
        season.play(steps)
        pairs = defaultdict(lambda: [0, 0, 0])
        for row in movements(season.premises):
            if row.from_lot_id and row.to_lot_id and row.from_lot_id != row.to_lot_id:
                add(pairs[(row.from_lot_id, row.to_lot_id)], 1, row)
        kept = {(row.parent_id, row.child_id): list(three(row)) for row in Descent.objects.all()}
        assert kept == dict(pairs)
        report = verify(season.premises)
        assert report.faults == []
        assert report.entries == len(season.accepted)


@PROPERTY
@given(STEPS)
def test_the_same_acts_a_second_time_change_nothing(steps):
    with rolled_back() as season:
        season.play(steps)
        before = as_they_stand(season.premises)
        assert [again().is_new for again in season.accepted] == [False] * len(season.accepted)
        assert as_they_stand(season.premises) == before


@PROPERTY
@given(STEPS)
def test_reversing_everything_newest_first_empties_the_book(steps):
    # What was taken back out of turn may lean on a later gain, so none is among the steps: a
    # reversal cannot be reversed, and newest first would then not be the way back.
    steps = [step for step in steps if step["kind"] != "reverse"]
    with rolled_back() as season:
        season.play(steps)
        rows = Entry.objects.filter(premises=season.premises, reverses=None, reversed_by=None)
        for entry in rows.order_by("-number"):
            take_back(season.premises, entry, f"back-{entry.number}")
        assert all(sums == [0, 0, 0] for sums in kept_holdings(season.premises).values())
        assert not Descent.objects.exclude(amount=0, wine_gallons=0, proof_gallons=0).exists()
        grouped = totals.grouped(Movement.objects.filter(period__premises=season.premises))
        # A corrected flow carries no gauge of its own, so the sums by flow are all nothing.
        assert grouped == {}
        assert verify(season.premises).faults == []


def by_flow(rows):
    """Sums of *rows* by the facts a report groups on, in plain Python."""
    sums = defaultdict(lambda: [0, 0, 0])
    for row in rows:
        key = (
            *(row.from_account, row.to_account, row.purpose),
            *(row.from_designation_id, row.to_designation_id, row.cooperage, row.taxed),
        )
        add(sums[key], 1, row)
    return {key: value for key, value in sums.items() if any(value)}


def nonzero(sums):
    return {key: value for key, value in sums.items() if any(value)}


@PROPERTY
@given(STEPS)
def test_a_closed_month_keeps_its_sums_and_later_openings_follow_amendments(steps):
    """The month as filed: booked in it, amending none. As amended: plus what amends it."""
    with rolled_back() as season:
        season.play(steps)
        rows = list(movements(season.premises))
        for period in Period.objects.filter(premises=season.premises).order_by("month"):
            month = period.month
            counted = {row: (row.amends or row.period).month for row in rows}
            now = by_flow(row for row in rows if counted[row] == month)
            assert totals.flows(period) == now
            before = by_flow(row for row in rows if counted[row] < month)
            assert nonzero(totals.running_before(season.premises, month)) == before
            if period.state != Period.State.OPEN:
                own = (row for row in rows if row.period == period and not row.amends)
                assert totals.flows_as_closed(period) == by_flow(own)
                until = (row for row in rows if row.period.month <= month)
                assert nonzero(totals.running_at_closing(period)) == by_flow(until)
