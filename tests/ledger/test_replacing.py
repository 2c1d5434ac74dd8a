"""An entry taken back and recorded rightly as one act: on its net, both or nothing.

The rule is this book's own (no section of 27 CFR part 19 tells how to correct an entry):
nothing is overwritten, and no holding is negative at any moment once both entries stand.
"""

from contextlib import suppress

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.errors import Changed, LedgerError, NotReversible, Short
from ledger.looking import Look
from ledger.models import Entry, Holding, Movement, Premises
from ledger.plan import Leg, Place, Plan
from ledger.posting import record
from ledger.replacing import StandsOn, record_instead, rehearse_instead
from ledger.verifying import verify
from tests.ledger.raw import NOW, act, day, draw, make_plant, post, receive

pytestmark = pytest.mark.django_db


@pytest.fixture
def plant():
    return make_plant()


def move(wine, proof):
    leg = Leg(
        Place("storage", "N-1", "T-1"), Place("storage", "N-1", "T-2"), "move", 0, wine, proof
    )
    return Plan((leg,))


def moved(plant, wine=10000):
    """100 gal received, *wine* of it moved to T-2, and 90 of that spilt: entries 1 to 3."""
    post(plant, "in", receive(), at=day(1))
    entry = post(plant, "move", move(wine, wine * 19 // 10), at=day(2)).entry
    post(plant, "spill", draw("N-1", 9000, 17100, vessel="T-2"), at=day(3))
    return entry


def instead(plant, entry, plan, *, key="again", at=None, **more):
    back = act(f"{key}-back", at=entry.happened_at, operation="reverse", reverses=entry, reason="x")
    new = act(key, at=at or entry.happened_at, reason="x")
    return record_instead(
        lambda look: plan, premises=plant, back=back, act=new, now=NOW, **more
    )  # fmt: skip


def held():
    rows = Holding.objects.exclude(wine_gallons=0, proof_gallons=0)
    return {row.vessel.code: (row.wine_gallons, row.proof_gallons) for row in rows}


def test_it_is_checked_on_its_net_though_later_entries_stand_on_it(plant):
    done = instead(plant, moved(plant), move(9500, 18050))
    assert held() == {"T-1": (500, 950), "T-2": (500, 950)}
    back = Entry.objects.get(reverses__number=2)
    assert (back.number, done.entry.number) == (4, 5)
    assert [row.wine_gallons for row in back.movements.all()] == [-10000]
    assert verify(plant).faults == []


def test_what_would_leave_later_entries_without_is_refused_whole(plant):
    entry = moved(plant)
    with pytest.raises(StandsOn, match=r"stand on entry 2: T-2 has only .* 10.00 WG"):
        instead(plant, entry, move(8000, 15200))
    assert Entry.objects.count() == 3
    assert held() == {"T-2": (1000, 1900)}
    assert verify(plant).faults == []


def test_more_than_the_book_has_is_a_gain_once_confirmed(plant):
    entry = moved(plant)
    with pytest.raises(Short, match="T-1 has only"):
        instead(plant, entry, move(12000, 22800))
    done = instead(plant, entry, move(12000, 22800), accept_shortage=True)
    first = done.entry.movements.order_by("leg").first()
    assert (first.from_account, first.wine_gallons) == ("gain", 2000)
    assert held() == {"T-2": (3000, 5700)}
    assert verify(plant).faults == []


def test_recorded_for_a_later_hour_it_must_still_come_before_its_use(plant):
    entry = moved(plant)
    with pytest.raises(StandsOn, match="T-2"):
        instead(plant, entry, move(9500, 18050), at=day(4))
    assert instead(plant, entry, move(9500, 18050), at=day(2, 18)).is_new


def test_the_look_is_past_the_entry_and_what_takes_it_back(plant):
    entry = moved(plant)
    seen = {}

    def planner(look):
        seen.update({one.vessel.code: one.wine_gallons for one in look("T-1", "T-2")})
        return move(9500, 18050)

    options = {
        "premises": plant, "now": NOW, "act": act("k", at=entry.happened_at, reason="x"),
        "back": act("b", at=entry.happened_at, operation="reverse", reverses=entry, reason="x"),
    }  # fmt: skip
    rehearse_instead(planner, **options)
    assert seen == {"T-1": 10000}
    assert Entry.objects.count() == 3
    assert [one.wine_gallons for one in Look.now(plant, day(2, 20))("T-2")] == [10000]


def test_a_rehearsal_leaves_nothing(plant):
    entry = moved(plant)
    seal = Premises.objects.get().last_seal
    back = act("b", at=entry.happened_at, operation="reverse", reverses=entry, reason="x")
    new = act("k", at=entry.happened_at, reason="x")
    plan = rehearse_instead(
        lambda look: move(9500, 18050), premises=plant, back=back, act=new, now=NOW
    )
    assert plan.legs[0].wine_gallons == 9500
    assert Premises.objects.get().last_seal == seal
    assert held() == {"T-2": (1000, 1900)}


def test_the_same_key_again_gives_the_first_answer(plant):
    entry = moved(plant)
    first = instead(plant, entry, move(9500, 18050))
    second = instead(plant, entry, move(9500, 18050))
    assert (second.is_new, second.entry) == (False, first.entry)
    assert Entry.objects.count() == 5


def test_a_plan_that_changed_since_is_shown_anew(plant):
    with pytest.raises(Changed):
        instead(plant, moved(plant), move(9500, 18050), previewed="other")
    assert Entry.objects.count() == 3


def test_nothing_is_replaced_twice(plant):
    entry = moved(plant)
    instead(plant, entry, move(9500, 18050))
    with pytest.raises(NotReversible, match="already taken back by entry 4"):
        instead(plant, entry, move(9600, 18240), key="third")


def test_what_opened_a_lot_is_replaced_while_nothing_stands_on_it(plant):
    post(plant, "in", receive(), at=day(1))
    entry = Entry.objects.get()
    instead(plant, entry, receive(wine=9000, proof=17100))
    assert held() == {"T-1": (9000, 17100)}
    assert verify(plant).faults == []
    record(lambda look: draw("N-3", 9000, 17100), premises=plant, act=act("d", at=day(2)), now=NOW)


def test_a_lot_that_was_used_is_not_replaced_by_another(plant):
    entry = moved(plant)
    first = Entry.objects.get(number=1)
    with pytest.raises(StandsOn, match="T-1"):
        instead(plant, first, receive(wine=9000, proof=17100))
    assert entry.number == 2


PROPERTY = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow], database=None
)
STEP = st.tuples(
    st.sampled_from(["T-1", "T-2"]), st.sampled_from(["T-1", "T-2", "loss"]),
    st.integers(1, 9000), st.integers(2, 9),
)  # fmt: skip


def step(origin, to, wine):
    place = Place("loss", "N-1") if to == "loss" else Place("storage", "N-1", to)
    purpose = "spill" if to == "loss" else "move"
    return Plan((Leg(Place("storage", "N-1", origin), place, purpose, 0, wine, wine),))


@pytest.mark.django_db(transaction=True)
@PROPERTY
@given(
    steps=st.lists(STEP, min_size=1, max_size=6), pick=st.integers(0, 5),
    wine=st.integers(1, 12000), when=st.integers(2, 9), accept=st.booleans(),
)  # fmt: skip
def test_replacing_writes_both_or_nothing_and_leaves_a_true_book(steps, pick, wine, when, accept):
    """The book verifies, and no holding is negative at any moment, whatever is replaced by what."""
    outer = transaction.atomic()
    outer._from_testcase = True
    with outer:
        plant = make_plant()
        post(plant, "in", receive(wine=10000, proof=10000), at=day(1))
        entries = []
        for index, (origin, to, amount, on) in enumerate(steps):
            if origin != to:
                with suppress(LedgerError):
                    done = post(plant, f"s{index}", step(origin, to, amount), at=day(on))
                    entries.append((done.entry, origin, to))
        if entries:
            entry, origin, to = entries[pick % len(entries)]
            before, number = held(), Entry.objects.count()
            try:
                instead(plant, entry, step(origin, to, wine), at=day(when), accept_shortage=accept)
            except LedgerError:
                assert (held(), Entry.objects.count()) == (before, number)
            else:
                assert Entry.objects.count() == number + 2
        assert verify(plant).faults == []
        assert lowest() >= 0
        transaction.set_rollback(True)


def lowest():
    """The least any vessel held after any instant, from the movements alone."""
    levels, least, moment = {}, 0, None
    for row in Movement.objects.order_by("at"):
        if row.at != moment:
            least = min([least, *levels.values()])
        moment = row.at
        for sign, vessel in ((-1, row.from_vessel_id), (1, row.to_vessel_id)):
            if vessel:
                levels[vessel] = levels.get(vessel, 0) + sign * row.wine_gallons
    return min([least, *levels.values()])
