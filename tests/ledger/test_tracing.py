"""The trace after any sequence of acts, and the rule of shares worked out by hand.

The reference is a plain walk over the movements in Python, which knows nothing of descents, of
the recursive query, or of the pass that makes the shares.
"""

from collections import defaultdict
from contextlib import contextmanager
from decimal import Decimal

import pytest
from django.db import connection, transaction
from hypothesis import HealthCheck, Phase, given, settings

from ledger.models import Entry, Lot, Movement
from ledger.tracing import trace
from tests.ledger.raw import make_plant, take_back
from tests.ledger.rounds import ROUNDS, Rounds

PROPERTY = settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    database=None,
    phases=[Phase.explicit, Phase.generate],  # a season takes minutes to shrink
)
pytestmark = pytest.mark.django_db(transaction=True)
NEARLY = Decimal("1E-9")


@contextmanager
def rolled_back():
    outer = transaction.atomic()
    outer._from_testcase = True
    with outer:
        yield Rounds(make_plant())
        connection.check_constraints()
        transaction.set_rollback(True)


def parents_by_movements():
    """{child: {parent: sums}}, pairs that come to nothing left out."""
    sums = defaultdict(lambda: [0, 0, 0])
    for row in Movement.objects.exclude(from_lot=None).exclude(to_lot=None):
        if row.from_lot_id != row.to_lot_id:
            three = (row.amount, row.wine_gallons, row.proof_gallons)
            for index, value in enumerate(three):
                sums[(row.to_lot_id, row.from_lot_id)][index] += value
    found = defaultdict(dict)
    for (child, parent), three in sums.items():
        if any(three):
            found[child][parent] = three
    return found


def closure(start, parents):
    seen, waiting = set(), [start]
    while waiting:
        for parent in parents.get(waiting.pop(), ()):
            if parent not in seen:
                seen.add(parent)
                waiting.append(parent)
    return seen


@PROPERTY
@given(ROUNDS)
def test_back_and_forward_are_inverses_with_the_same_shares(steps):
    with rolled_back() as season:
        season.play(steps)
        lots = list(Lot.objects.order_by("pk"))
        back = {lot.pk: {one.lot.pk: one.share for one in trace(lot, "back").kin} for lot in lots}
        forward = {
            lot.pk: {one.lot.pk: one.share for one in trace(lot, "forward").kin} for lot in lots
        }
        for child, kin in back.items():
            for parent, share in kin.items():
                assert abs(share - forward[parent][child]) < NEARLY
        pairs = {(parent, child) for child, kin in back.items() for parent in kin}
        assert pairs == {(parent, child) for parent, kin in forward.items() for child in kin}


@PROPERTY
@given(ROUNDS)
def test_it_finds_what_a_plain_walk_over_the_movements_finds(steps):
    with rolled_back() as season:
        season.play(steps)
        parents = parents_by_movements()
        for lot in Lot.objects.all():
            found = {one.lot.pk for one in trace(lot, "back").kin}
            assert found == closure(lot.pk, parents)
            assert lot.pk not in found  # no loops


@PROPERTY
@given(ROUNDS)
def test_the_parts_of_every_lot_add_up_to_one(steps):
    """What is liquid with what is new is one whole; so are the materials of one unit in it."""
    with rolled_back() as season:
        season.play(steps)
        for lot in Lot.objects.all():
            found = trace(lot, "back")
            known = {one.lot.pk: one.lot for one in found.kin}
            assert all(0 <= one.share <= 1 and one.quantity >= 0 for one in found.kin)
            liquid, materials = Decimal(0), defaultdict(Decimal)
            for link in found.links:
                if link.child == lot.pk:
                    parent = known[link.parent]
                    if parent.stage == "material":
                        materials[parent.unit] += link.part
                    else:
                        liquid += link.part
            assert all(0 <= total <= 1 + NEARLY for total in (liquid, *materials.values()))
            if lot.stage != "wash" and liquid:
                assert abs(liquid - 1) < NEARLY
            if lot.stage != "wash":
                assert all(abs(total - 1) < NEARLY or not total for total in materials.values())


@PROPERTY
@given(ROUNDS)
def test_what_was_taken_back_leaves_no_trace(steps):
    steps = [step for step in steps if step["kind"] not in ("reverse", "correct")]
    with rolled_back() as season:
        season.play(steps)
        rows = Entry.objects.filter(reverses=None, reversed_by=None).order_by("-number")
        for entry in rows:
            take_back(season.premises, entry, f"back-{entry.number}")
        for lot in Lot.objects.all():
            assert trace(lot, "back").kin == ()
            assert trace(lot, "forward").kin == ()
