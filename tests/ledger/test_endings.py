"""Where lots ended: removals net of what was taken back, corrected, or came back into bond."""

import pytest

from ledger.endings import endings, standing
from ledger.models import Entry, Lot
from ledger.plan import Leg, NewLot, Place, Plan
from tests.ledger.raw import make_plant, post, receive, take_back

pytestmark = pytest.mark.django_db


@pytest.fixture
def plant():
    premises = make_plant()
    post(premises, "in", receive("N"))
    new = NewLot("K", "bottled", "bottle", "Vodka", class_code="spirits_190", bottle_ml=750)
    stands = Place("finished", "K", "ST")
    leg = Leg(Place("opening", "K"), stands, "opening", 100, 2000, 1600)
    post(premises, "k", Plan((leg,), (new,)))
    return premises


def out(premises, key, account, amount, *, vessel="", origin=("finished", "ST"), purpose="remove"):
    wine, proof = amount * 20, amount * 16
    leg = Leg(Place(origin[0], "K", origin[1]), Place(account, "K", vessel), purpose, amount, wine,
              proof)  # fmt: skip
    return post(premises, key, Plan((leg,), document=key)).entry


def told():
    lots = [Lot.objects.get(code="K").pk]
    return [(one.entry.document, one.account, one.amount, one.is_removal) for one in endings(lots)]


def test_a_receipt_is_no_ending(plant):
    assert endings(Lot.objects.values_list("pk", flat=True)) == []


def test_a_removal_taken_back_is_none(plant):
    out(plant, "kept", "tax_determined", 5)
    take_back(plant, out(plant, "wrong", "export", 9), "back")
    assert told() == [("kept", "tax_determined", 5, True)]


def test_what_came_back_into_bond_counts_against_it(plant):
    """27 CFR 19.452: spirits withdrawn on determination of tax may be returned."""
    out(plant, "sold", "tax_determined", 10)
    leg = Leg(Place("tax_determined", "K"), Place("processing", "K", "P-1"), "return", 4, 80, 64)
    post(plant, "home", Plan((leg,), document="home"))
    assert told() == [
        ("sold", "tax_determined", 10, True), ("home", "tax_determined", -4, True),
    ]  # fmt: skip


def test_bottles_sold_in_the_own_shop_were_removed_once(plant):
    out(plant, "to-shop", "taxpaid", 10, vessel="ST")
    out(plant, "till", "sold", 3, origin=("taxpaid", "ST"), purpose="sell")
    assert told() == [("to-shop", "taxpaid", 10, True), ("till", "sold", 3, False)]
    held = {(one.account, one.amount) for one in standing([Lot.objects.get(code="K").pk])}
    assert held == {("finished", 90), ("taxpaid", 7)}


def test_losses_and_what_was_destroyed_are_no_removals(plant):
    out(plant, "fell", "loss", 2, purpose="breakage")
    out(plant, "drain", "destroyed", 1, purpose="destroy")
    assert [row[1:] for row in told()] == [("loss", 2, False), ("destroyed", 1, False)]
    assert Entry.objects.count() == 4
