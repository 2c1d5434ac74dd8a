"""Taking an entry back, and the ways that are open when something stands on it."""

import pytest

from distillery.recording import Refused
from ledger.models import Holding, Movement
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.posting import record
from ledger.verifying import verify
from ledger.writing import Act
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    return make_world()


def receive(world, quantity="6,000 lb", *, by=None, at="2026-01-05 09:00"):
    return world.record(
        "receive-material", at, material="CORN", quantity=quantity, vessel="BIN-1",
        supplier="Dune Grain (invented)", by=by,
    )  # fmt: skip


def post(world, key, at, leg, *lots):
    """One movement straight through the door."""
    act = Act(key, world.when(at), "ada", key, "{}")
    return record(lambda look: Plan((leg,), lots), premises=world.premises, act=act)


def use(world, amount=500000):
    """Mash most of the corn."""
    wash = NewLot("W-1", "wash", "gal", "Mash")
    leg = Leg(Place("materials", "G-1", "BIN-1"), Place("mashed", "W-1"), "mash", amount)
    return post(world, "mash", "2026-01-06 09:00", leg, wash)


def reverse(world, number, **more):
    return world.record("reverse", "2026-01-07 09:00", entry=number, reason="wrong load", **more)


def test_it_subtracts_from_the_line_it_had_filled(world):
    receive(world)
    done = reverse(world, 1)
    row = Movement.objects.get(entry=done.entry)
    assert (row.from_account, row.to_account, row.amount) == ("supplier", "materials", -600000)
    assert Holding.objects.get().amount == 0


def test_it_counts_when_the_entry_did(world):
    first = receive(world)
    assert reverse(world, 1).entry.happened_at == first.entry.happened_at


def test_the_reason_and_the_entry_are_in_the_book(world):
    first = receive(world)
    done = reverse(world, 1)
    assert (done.entry.reverses, done.entry.reason) == (first.entry, "wrong load")
    assert verify(world.premises).faults == []


def test_it_needs_a_reason(world):
    receive(world)
    with pytest.raises(Refused) as refused:
        world.record("reverse", "2026-01-07 09:00", entry=1)
    assert list(refused.value.errors) == ["reason"]


def test_it_names_what_stands_in_the_way_and_the_way_round(world):
    receive(world)
    use(world)
    with pytest.raises(Refused, match=r"Later entries took from there: 2\..*“correct”"):
        reverse(world, 1)


def test_a_confirmation_does_not_turn_it_into_a_gain(world):
    receive(world)
    use(world)
    with pytest.raises(Refused):
        reverse(world, 1, confirm=["found-more"])
    assert not Movement.objects.filter(from_account="gain").exists()


def test_no_entry_of_that_number(world):
    with pytest.raises(Refused, match="no entry 7 here"):
        reverse(world, 7)


def test_nothing_is_taken_back_twice(world):
    receive(world)
    reverse(world, 1)
    with pytest.raises(Refused, match="already taken back by entry 2"):
        world.record("reverse", "2026-01-08 09:00", entry=1, reason="again")


def test_an_operator_takes_back_only_what_is_their_own(world):
    receive(world)
    with pytest.raises(Refused, match="only what you recorded yourself"):
        reverse(world, 1, by=world.operator)


def correct(world, **fields):
    at = fields.pop("at", "2026-01-09 09:00")
    return world.record("correct", at, leg=1, reason="mistyped", **fields)


def test_a_correction_posts_the_difference_alone(world):
    receive(world)
    use(world, 100000)
    done = correct(world, entry=1, amount="5,900 lb")
    row = Movement.objects.get(entry=done.entry)
    assert (row.from_account, row.amount) == ("supplier", -10000)
    assert done.entry.corrects.number == 1
    assert Holding.objects.get(account="materials").amount == 490000


def test_a_correction_is_the_owners(world):
    receive(world)
    with pytest.raises(Refused, match="may not record"):
        correct(world, entry=1, amount="5,900 lb", by=world.operator)


def test_a_correction_of_what_was_used_up_names_the_way_round(world):
    receive(world)
    use(world)
    with pytest.raises(Refused, match="Name the vessel it stands in now"):
        correct(world, entry=1, amount="4,000 lb")


def test_a_correction_tells_a_wrong_unit_beside_its_field(world):
    receive(world)
    with pytest.raises(Refused) as refused:
        correct(world, entry=1, amount="20 gal")
    assert list(refused.value.errors) == ["amount"]


def test_a_correction_needs_a_figure(world):
    receive(world)
    with pytest.raises(Refused, match="Give the right amount"):
        correct(world, entry=1)


def test_what_has_moved_on_is_corrected_where_it_stands(world):
    lot = NewLot("N-1", "spirits", "pg", "Neutral spirits", class_code="spirits_190")
    here, there = Place("storage", "N-1", "S-1"), Place("storage", "N-1", "S-2")
    receipt = Leg(Place("other_plant", "N-1"), here, "receive", 0, 11560, 21960)
    post(world, "receipt", "2026-02-10 10:00", receipt, lot)
    post(world, "move", "2026-02-11 10:00", Leg(here, there, "move", 0, 11560, 21960))
    done = correct(world, entry=1, proof_gallons="219.5 PG", stands_in="S-2", at="2026-02-12 09:00")
    row = Movement.objects.get(entry=done.entry)
    assert (row.to_account, row.purpose, row.proof_gallons) == ("loss", "regauge", 10)
    assert done.entry.happened_at == world.when("2026-02-12 09:00")


def test_a_correction_where_it_stands_now_can_name_the_lot(world):
    # A store holds many lots; the figure was mistyped for one of them.
    bottled = {
        "stage": "bottled", "unit": "bottle", "form": "bottled", "class_code": "gin",
        "bottle_ml": 750, "per_case": 12, "label_proof": 900, "name": "Point gin",
    }  # fmt: skip
    put(world, "finished", "STORE", "K-1", wine="5.55", proof="4.99", amount=28, **bottled)
    put(world, "finished", "STORE", "K-2", wine="2.38", proof="2.14", amount=12, **bottled)
    act = {"entry": 1, "amount": "27", "stands_in": "STORE"}
    with pytest.raises(Refused, match="holds several lots"):
        correct(world, **act)
    with pytest.raises(Refused, match="Name the vessel"):
        correct(world, entry=1, amount="27", lot="K-1")
    correct(world, lot="K-1", **act)
    assert {row.lot.code: row.amount for row in Holding.objects.all()} == {"K-1": 27, "K-2": 12}


def test_a_refusal_leads_to_what_stands_on_it(world, client):
    receive(world)
    use(world)
    client.force_login(world.owner)
    sent = {"entry": "1", "at": "2026-01-09T09:00", "reason": "x", "key": "k", "step": "preview"}
    page = client.post("/record/reverse/", sent).content.decode()
    assert "Take back with what stands on it" in page
    assert 'href="/book/1/chain/"' in page
