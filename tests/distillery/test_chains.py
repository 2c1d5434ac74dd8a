"""What stands on an entry, shown whole and taken back together, newest first, or not at all."""

from contextlib import suppress

import pytest
from django.db import connection, transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from distillery.chains import chain_of, take_back
from distillery.recording import Asked, Refused
from ledger.closing import close
from ledger.models import Descent, Entry, Holding
from ledger.verifying import verify
from tests.distillery.stock import put
from tests.world import make_world

PROPERTY = settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow], database=None
)
TANKS = ("S-1", "S-2", "NS")


def move(world, volume, *, vessel="S-1", to="S-2", at="2026-03-03 10:00", **more):
    gauge = {"volume": f"{volume} gal", "temperature": "60 F", "proof": "190"}
    return world.record("transfer", at, vessel=vessel, gauge=gauge, to=to, **more)


def entry(number):
    return Entry.objects.select_related("premises", "period").get(number=number)


def kept():
    rows = Holding.objects.exclude(amount=0, wine_gallons=0, proof_gallons=0)
    return {
        (row.account, row.lot.code, row.vessel.code): (row.wine_gallons, row.proof_gallons)
        for row in rows
    }


@pytest.fixture
def world(db):
    world = make_world()
    put(world, "storage", "S-1", "N", wine="100", proof="190")
    return world


def back(world, chain, **more):
    more = {"reason": "wrong tank", "key": "c1", "user": world.owner} | more
    return take_back(chain, premises=world.premises, **more)


def test_all_that_stands_on_it_goes_newest_first(world):
    before = kept()
    move(world, "60")
    move(world, "59", vessel="S-2", to="NS", at="2026-03-04 10:00")
    move(world, "10", vessel="NS", to="S-1", at="2026-03-05 10:00")
    chain = chain_of(entry(2))
    assert chain.numbers == (4, 3, 2)
    done = back(world, chain)
    assert [one.entry.reverses.number for one in done] == [4, 3, 2]
    assert kept() == before
    assert verify(world.premises).faults == []


def test_what_does_not_stand_on_it_stays(world):
    move(world, "60")
    move(world, "30", to="NS", at="2026-03-04 10:00")
    assert chain_of(entry(2)).numbers == (2,)


def test_a_correction_of_it_goes_first(world):
    move(world, "60")
    world.record("correct", "2026-03-04 10:00", entry=2, leg=1, wine_gallons="59",
                 proof_gallons="112.1", reason="misread")  # fmt: skip
    assert chain_of(entry(2)).numbers == (3, 2)


def test_what_is_closed_bottled_or_taxed_is_not_undone_together(world):
    gin = {"stage": "bottled", "unit": "bottle", "class_code": "gin", "bottle_ml": 750,
           "per_case": 12, "label_proof": 900, "form": "bottled", "product": "GIN-750",
           "name": "Point gin"}  # fmt: skip
    put(world, "finished", "STORE", "K-1", wine="5.55", proof="4.99", amount=28, **gin)
    world.record(
        "remove", "2026-03-04 10:00", document="501", initials="ada", consignee="A shop (invented)",
        consignee_state="MA", rows=[{"lot": "K-1", "store": "STORE", "bottles": 12}],
    )  # fmt: skip
    chain = chain_of(entry(2))
    assert [(one.entry.number, one.blocked) for one in chain.links] == [
        (3, "tax was determined on it"), (2, "it was bottled"),
    ]  # fmt: skip
    with pytest.raises(Refused, match="entry 3: tax was determined on it"):
        back(world, chain)
    assert Entry.objects.count() == 3


def test_a_closed_month_stops_it(world):
    move(world, "60", at="2026-01-10 10:00")
    move(world, "59", vessel="S-2", to="NS", at="2026-02-04 10:00")
    close(world.premises, world.when("2026-01-01").date(), by="ada")
    chain = chain_of(entry(2))
    assert [one.blocked for one in chain.links] == ["", "January 2026 is closed"]
    with pytest.raises(Refused, match="January 2026 is closed"):
        back(world, chain)


def test_nothing_is_taken_back_when_one_of_them_is_not_theirs(world):
    move(world, "60")
    move(world, "59", vessel="S-2", to="NS", at="2026-03-04 10:00", by=world.operator)
    with pytest.raises(Refused, match="only what you recorded yourself"):
        back(world, chain_of(entry(2)), user=world.operator)
    assert Entry.objects.count() == 3


def test_sent_twice_it_is_done_once(world):
    move(world, "60")
    chain = chain_of(entry(2))
    back(world, chain)
    assert [one.is_new for one in back(world, chain)] == [False]


def test_the_page_shows_the_chain_and_takes_it_back(world, client):
    move(world, "60")
    move(world, "59", vessel="S-2", to="NS", at="2026-03-04 10:00")
    client.force_login(world.owner)
    page = client.get("/book/2/chain/")
    assert "2 entries have to go together" in page.content.decode()
    sent = {"chain": page.context["token"], "key": page.context["key"], "reason": "wrong tank"}
    stale = client.post("/book/2/chain/", {**sent, "chain": "2"})
    assert "The book has moved" in stale.content.decode()
    assert client.post("/book/2/chain/", sent).status_code == 302
    assert Entry.objects.count() == 5
    assert "no longer stands" in client.get("/book/2/chain/").content.decode()


def test_the_page_says_when_no_reason_was_given(world, client):
    move(world, "60")
    client.force_login(world.owner)
    sent = {"chain": "2", "key": "k", "reason": ""}
    assert "Say why" in client.post("/book/2/chain/", sent).content.decode()
    assert Entry.objects.count() == 2


MOVE = st.tuples(
    st.sampled_from(TANKS), st.sampled_from(TANKS), st.integers(1, 60), st.integers(0, 9)
)


@pytest.mark.django_db(transaction=True)
@PROPERTY
@given(moves=st.lists(MOVE, min_size=1, max_size=7), pick=st.integers(0, 6))
def test_a_chain_taken_back_leaves_what_the_book_would_hold_without_it(moves, pick):
    """Newest first: the kept holdings are as if the chain had never been recorded."""
    outer = transaction.atomic()
    outer._from_testcase = True
    with outer:
        world = make_world()
        put(world, "storage", "S-1", "N", wine="100", proof="190")
        numbers = []
        for origin, to, volume, hour in moves:
            with suppress(Refused, Asked):
                day = f"2026-03-0{hour % 9 + 1} 10:00"
                done = move(world, volume, vessel=origin, to=to, at=day)
                numbers.append(done.entry.number)
        if numbers:
            chain = chain_of(entry(numbers[pick % len(numbers)]))
            expected = sums_without(set(chain.numbers))
            back(world, chain)
            assert kept() == expected
            assert verify(world.premises).faults == []
            assert not Descent.objects.filter(proof_gallons__lt=0).exists()
        connection.check_constraints()
        transaction.set_rollback(True)


def sums_without(numbers):
    """Holdings added up from the movements of all entries but *numbers*."""
    held = {}
    for one in Entry.objects.exclude(number__in=numbers):
        for row in one.movements.select_related("from_lot", "from_vessel", "to_lot", "to_vessel"):
            for sign, account, lot, vessel in (
                (-1, row.from_account, row.from_lot, row.from_vessel),
                (1, row.to_account, row.to_lot, row.to_vessel),
            ):
                if vessel:
                    key = account, lot.code, vessel.code
                    was = held.get(key, (0, 0))
                    held[key] = (
                        was[0] + sign * row.wine_gallons,
                        was[1] + sign * row.proof_gallons,
                    )
    return {key: pair for key, pair in held.items() if any(pair)}


def test_a_correction_downwards_of_another_entry_stands_on_it_too(world):
    # 40 gal and 60 gal of one lot came to S-2; 41 of the 60 turn out to have stayed behind.
    move(world, "40")
    move(world, "60", at="2026-03-04 10:00")
    move(world, "55", vessel="S-2", to="NS", at="2026-03-05 10:00")
    world.record("correct", "2026-03-06 10:00", entry=3, leg=1, wine_gallons="19",
                 proof_gallons="36.1", reason="misread")  # fmt: skip
    chain = chain_of(entry(2))
    assert chain.numbers == (5, 4, 2)
    back(world, chain)
    assert verify(world.premises).faults == []
