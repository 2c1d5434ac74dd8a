"""Late records: the book as of its moment, and no later act left short."""

from datetime import timedelta

import pytest

from ledger.errors import Short
from ledger.looking import Look
from ledger.models import Entry, Holding, Premises
from ledger.plan import Leg, Place, Plan
from ledger.verifying import verify
from tests.ledger.raw import day as on
from tests.ledger.raw import draw, make_plant, post, receive, spirits, take_back, transfer

pytestmark = pytest.mark.django_db


@pytest.fixture
def plant():
    """100 gallons in on day 5, 30 of them drawn on day 10."""
    premises = make_plant()
    post(premises, "in", receive(), at=on(5))
    post(premises, "out", draw("N-1", 3000, 5700), at=on(10))
    return premises


def seen(premises, at, *codes):
    premises = Premises.objects.get(pk=premises.pk)
    return [(held.account, held.wine_gallons) for held in Look(premises, at)(*codes)]


@pytest.mark.parametrize(
    ("day", "gallons"), [(4, []), (5, [10000]), (9, [10000]), (10, [7000]), (40, [7000])]
)
def test_a_look_shows_what_the_vessel_held_at_that_moment(plant, day, gallons):
    assert seen(plant, on(day), "T-1") == [("storage", wine) for wine in gallons]


def test_a_look_shows_what_has_since_gone(plant):
    post(plant, "rest", transfer("N-1", 7000, 13300), at=on(12))
    assert seen(plant, on(20), "T-1") == []
    assert seen(plant, on(6), "T-1", "P-1") == [("storage", 10000)]
    assert seen(plant, on(12), "P-1", "T-1") == [("processing", 7000)]


def test_a_late_draw_that_leaves_the_later_ones_enough_is_taken(plant):
    post(plant, "late", draw("N-1", 7000, 13300), at=on(7))
    row = Holding.objects.get(account="storage")
    assert (row.wine_gallons, row.last_at) == (0, on(10))
    assert verify(plant).faults == []


def test_a_late_draw_of_one_hundredth_more_is_refused(plant):
    with pytest.raises(Short, match=r"T-1 has only 70\.00 WG, 0\.01 WG less") as caught:
        post(plant, "late", draw("N-1", 7001, 13300), at=on(7))
    assert "recorded up to 11 Mar 2026" in str(caught.value)


def test_the_lowest_of_all_later_moments_counts_not_the_last(plant):
    """70 on day 10, 10 on day 15, 110 from day 20 on: a late record may take 10."""
    post(plant, "down", draw("N-1", 6000, 11400), at=on(15))
    more = Leg(Place("gain", "N-1"), Place("storage", "N-1", "T-1"), "regauge", 0, 10000, 19000)
    post(plant, "up", Plan((more,)), at=on(20))
    with pytest.raises(Short, match=r"only 10\.00 WG, 0\.01 WG less"):
        post(plant, "a", draw("N-1", 1001, 100), at=on(7))
    post(plant, "b", draw("N-1", 1000, 1900), at=on(7))
    post(plant, "c", draw("N-1", 10000, 19000), at=on(20))


def test_a_confirmed_late_shortage_is_a_gain_at_that_moment(plant):
    posted = post(plant, "late", draw("N-1", 8000, 15200), at=on(7), accept_shortage=True)
    gain = posted.entry.movements.order_by("leg").first()
    assert (gain.from_account, gain.wine_gallons, gain.at) == ("gain", 1000, on(7))
    assert Holding.objects.get(account="storage").wine_gallons == 0
    assert seen(plant, on(9), "T-1") == [("storage", 3000)]


def test_a_draw_dated_before_the_lot_came_is_refused(plant):
    with pytest.raises(Short, match=r"only 0\.00 WG"):
        post(plant, "late", draw("N-1", 1, 1), at=on(4))


def test_acts_of_one_instant_count_in_the_order_of_recording(plant):
    post(plant, "b", draw("N-1", 7000, 13300), at=on(10))
    with pytest.raises(Short):
        post(plant, "c", draw("N-1", 1, 1), at=on(10))


def test_the_late_receipt_covers_a_draw_recorded_before(plant):
    """The tablet of the receiver was offline: the draw came first, with a confirmed gain."""
    post(plant, "early", receive("L-{n}", vessel="T-2", wine=500, proof=950), at=on(8))
    assert seen(plant, on(8), "T-2") == [("storage", 500)]
    assert seen(plant, on(7), "T-2") == []


def test_what_was_taken_back_never_was(plant):
    """An entry and its reversal stand at one instant; nothing between them counts."""
    first, second = Entry.objects.order_by("number")
    take_back(plant, second, "back-2")
    take_back(plant, first, "back-1")
    assert seen(plant, on(7), "T-1") == []
    row = Holding.objects.get()
    assert (row.amount, row.wine_gallons, row.proof_gallons) == (0, 0, 0)


def test_a_receipt_that_was_drawn_from_is_not_taken_back(plant):
    first = Entry.objects.get(number=1)
    with pytest.raises(Short, match=r"T-1 has only 70\.00 WG, 30\.00 WG less"):
        take_back(plant, first, "back-1")


def test_a_plan_that_overdraws_a_lot_it_opens_is_short(plant):
    to = Place("storage", "M-{n}", "T-2")
    legs = (
        Leg(Place("other_plant", "M-{n}"), to, "receive", 0, 100, 190),
        Leg(to, Place("loss", "M-{n}"), "spill", 0, 101, 190),
    )
    with pytest.raises(Short, match=r"T-2 has only 0\.00 WG, 0\.01 WG less"):
        post(plant, "new", Plan(legs, (spirits("M-{n}"),)), at=on(12))


def test_a_late_look_skips_rows_that_were_empty_then(plant, django_assert_max_num_queries):
    post(plant, "rest", draw("N-1", 7000, 13300), at=on(12))
    post(plant, "next", receive(), at=on(14))
    premises = Premises.objects.get(pk=plant.pk)
    assert seen(plant, on(13), "T-1") == []
    with django_assert_max_num_queries(4):  # vessel, later movements, live and moved holdings
        Look(premises, on(13) + timedelta(hours=1))("T-1")
