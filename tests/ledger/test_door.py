"""What the door checks whatever a plan says, so that both databases keep and seal the same."""

from dataclasses import replace

import pytest

from ledger.errors import BadFact, BadPlan, LedgerError, NotReversible
from ledger.models import Entry, Holding, Lot, Movement
from ledger.plan import Leg, Place, Plan
from ledger.posting import record
from ledger.quantities import LIMIT
from ledger.reversing import difference
from ledger.verifying import verify
from tests.ledger.raw import NOW, act, day, make_plant, post, receive, spirits, take_back

pytestmark = pytest.mark.django_db
GOOD = receive()


@pytest.fixture
def plant():
    return make_plant()


def with_leg(**facts):
    return replace(GOOD, legs=(replace(GOOD.legs[0], **facts),))


def with_lot(**facts):
    return replace(GOOD, lots=(replace(GOOD.lots[0], **facts),))


BAD = {
    "a proof that is not whole": with_leg(proof=1900.5),
    "a proof above 200": with_leg(proof=2001),
    "a proof below nothing": with_leg(proof=-1),
    "a cooperage nobody knows": with_leg(cooperage="oak"),
    "a mark that is not true or false": with_leg(taxed=1),
    "a quantity past the bound": with_leg(wine_gallons=LIMIT + 1),
    "a boundary that holds something": with_leg(origin=Place("other_plant", "N-{n}", "T-1")),
    "an inside account without a vessel": with_leg(to=Place("storage", "N-{n}")),
    "an account nobody knows": with_leg(to=Place("cellar", "N-{n}", "T-1")),
    "water with proof": with_leg(
        origin=Place("water", "N-{n}"), to=Place("storage", "N-{n}", "T-1"), purpose="reduce"
    ),
    "a class nobody knows": with_lot(class_code="mezcal"),
    "a source nobody knows": with_lot(source="lunar"),
    "a unit nobody knows": with_lot(unit="firkin"),
    "a lot without a code": with_lot(code=""),
    "a size that is not whole": with_lot(bottle_ml=750.0),
    "a label proof below nothing": with_lot(label_proof=-1),
    "a name too long for its column": with_lot(name="x" * 81),
    "a code too long for its column": with_lot(code="N" * 61),
    "a document too long for its column": replace(GOOD, document="x" * 61),
    "two lots with one code": replace(GOOD, lots=(*GOOD.lots, *GOOD.lots)),
}


@pytest.mark.parametrize("name", BAD)
def test_it_refuses_with_a_sentence_and_writes_nothing(plant, name):
    with pytest.raises(LedgerError) as caught:
        post(plant, "a", BAD[name])
    assert str(caught.value).endswith(".")
    assert not Entry.objects.exists()
    assert not Lot.objects.exists()


@pytest.mark.parametrize(("column", "longest"), [("reason", 400), ("key", 80), ("operation", 40)])
def test_it_refuses_texts_of_the_act_that_its_columns_do_not_take(plant, column, longest):
    text = {"key": "a", column: "x" * (longest + 1)}
    with pytest.raises(BadFact, match=f"{longest} characters at most"):
        record(lambda look: GOOD, premises=plant, act=replace(act("a"), **text), now=NOW)


def test_nothing_is_poured_back_into_an_older_lot(plant):
    post(plant, "a", receive())
    post(plant, "b", receive(vessel="T-2"))
    younger, older = Place("storage", "N-2", "T-2"), Place("storage", "N-1", "T-1")
    with pytest.raises(BadFact, match="N-1 is older than N-2"):
        post(plant, "c", Plan((Leg(younger, older, "mingle", 0, 100, 190),)))


@pytest.mark.parametrize("code", ["N-7", "N-{n}"])
def test_a_code_that_is_taken_is_named(plant, code):
    post(plant, "a", receive("N-7"))
    post(plant, "b", Plan(document="notes, up to the sixth"))
    while Entry.objects.count() < 6:
        post(plant, f"c{Entry.objects.count()}", Plan())
    with pytest.raises(BadFact, match="already a lot “N-7”"):
        post(plant, "d", receive(code))


def correct(premises, key, proof):
    entry = Entry.objects.get(number=1)
    return record(
        lambda look: difference(entry, look, leg=1, proof_gallons=proof),
        premises=premises,
        act=act(key, corrects=entry, reason="read again"),
        signed=True,
        now=NOW,
    )


def test_a_second_correction_starts_from_the_first(plant):
    """190 put right to 189, then to 188: the book says 188."""
    post(plant, "a", receive())
    correct(plant, "b", 18900)
    correct(plant, "c", 18800)
    rows = Movement.objects.order_by("entry__number").values_list("proof_gallons", flat=True)
    assert list(rows) == [19000, -100, -100]
    assert Holding.objects.get().proof_gallons == 18800
    with pytest.raises(BadFact, match="what the entry already says"):
        correct(plant, "d", 18800)


def test_a_correction_that_was_taken_back_no_longer_counts(plant):
    post(plant, "a", receive())
    second = correct(plant, "b", 18900).entry
    take_back(plant, second, "back")
    correct(plant, "c", 18800)
    assert Holding.objects.get().proof_gallons == 18800
    assert verify(plant).faults == []


def test_a_reversal_is_not_reversed(plant):
    entry = post(plant, "a", receive()).entry
    back = take_back(plant, entry, "b").entry
    with pytest.raises(NotReversible, match="itself a reversal"):
        take_back(plant, back, "c")
    with pytest.raises(NotReversible, match="already taken back by entry 2"):
        take_back(plant, Entry.objects.get(number=1), "d")


def test_what_was_moved_on_is_corrected_where_it_stands(plant):
    entry = post(plant, "a", receive()).entry
    move = Leg(
        Place("storage", "N-1", "T-1"), Place("storage", "M-1", "T-2"), "mingle", 0, 10000, 19000
    )
    post(plant, "b", Plan((move,), (spirits("M-1"),)), at=day(12))
    posted = record(
        lambda look: difference(entry, look, leg=1, proof_gallons=18900, stands_in="T-2"),
        premises=plant,
        act=act("c", at=day(13), corrects=entry, reason="read again"),
        signed=True,
        now=NOW,
    )
    row = posted.entry.movements.get()
    assert (row.from_account, row.to_account, row.purpose, row.proof_gallons) == (
        *("storage", "loss", "regauge"),
        100,
    )


def test_a_plan_of_the_wrong_kind_is_the_operations_fault(plant):
    with pytest.raises(BadPlan, match="needs a lot and a vessel"):
        post(plant, "a", BAD["an inside account without a vessel"])
