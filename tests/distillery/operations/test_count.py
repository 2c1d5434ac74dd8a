"""A physical count: differences as movements of their own, and the statement of the law."""

from datetime import date
from typing import Any

import pytest

from distillery.counts import BOTTLED, QUARTER, last_count
from distillery.operations.count import STATEMENT, counted_in
from distillery.recording import Asked, Refused
from ledger.models import Holding, Movement
from ledger.verifying import verify
from tests.distillery.stock import held, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
SIGNED = {"counter": "Ada", "counter_title": "distiller", "statement": True}
GIN: dict[str, Any] = {
    "stage": "bottled", "unit": "bottle", "form": "bottled", "class_code": "gin",
    "name": "Point gin", "product": "GIN-750", "bottle_ml": 750, "per_case": 12, "label_proof": 900,
}  # fmt: skip


@pytest.fixture
def world():
    return make_world()


def count(world, *rows, at="2026-03-31 16:00", kind="other", **more):
    return world.record("count", at, kind=kind, rows=list(rows), **more)


def gauged(vessel, volume, proof="190"):
    return {"vessel": vessel, "volume": f"{volume} gal", "temperature": "60 F", "proof": proof}


def flows():
    rows = Movement.objects.filter(purpose="count").order_by("pk")
    return [(r.from_account, r.to_account, r.amount, r.wine_gallons, r.proof_gallons) for r in rows]


def test_a_tank_with_less_is_a_loss_found_by_count(world):
    # 27 CFR 19.462(a): a loss is determined at an inventory.
    put(world, "storage", "S-2", "N-1", wine="63.00", proof="119.70")
    count(world, gauged("S-2", "62.80"))
    assert flows() == [("storage", "loss", 0, 20, 38)]
    assert held("S-2") == [("storage", "N-1", 6280, 11932)]


def test_a_tank_with_more_is_a_gain(world):
    put(world, "processing", "P-1", "B-1", wine="63.00", proof="119.70")
    count(world, gauged("P-1", "63.10"))
    assert flows() == [("gain", "processing", 0, 10, 19)]


def test_a_missing_bottle_is_a_shortage_and_always_taxed(world):
    # 27 CFR 19.465; 28 bottles by the book, 27 found: 0.18 PG, to the tenth 0.2.
    put(world, "finished", "STORE", "K-1", wine="5.55", proof="4.99", amount=28, **GIN)
    done = count(world, {"vessel": "STORE", "lot": "K-1", "bottles": 27})
    assert flows() == [("finished", "shortage", 1, 20, 18)]
    assert any("tax is due" in line for line in done.plan.lines)


def test_bottles_found_over_are_a_gain_by_their_label(world):
    # 27 CFR 19.601: overages. 0.75 L x 0.264172 x 90 / 100.
    put(world, "finished", "STORE", "K-1", wine="5.55", proof="4.99", amount=28, **GIN)
    count(world, {"vessel": "STORE", "bottles": 29})
    assert flows() == [("gain", "finished", 1, 20, 18)]


def test_bottles_found_where_the_book_has_none_are_a_gain(world):
    put(world, "finished", "STORE", "K-1", wine="0.20", proof="0.18", amount=1, **GIN)
    count(world, {"vessel": "STORE", "lot": "K-1", "empty": True}, at="2026-03-30 16:00")
    count(world, {"vessel": "STORE", "lot": "K-1", "bottles": 1})
    assert held("STORE") == [("finished", "K-1", 20, 18)]


def test_grain_is_counted_in_its_own_unit(world):
    world.record(
        "receive-material", "2026-01-05 09:00", material="CORN", quantity="2,000 lb",
        vessel="BIN-1", supplier="Dune Grain (invented)",
    )  # fmt: skip
    count(world, {"vessel": "BIN-1", "quantity": "1,950 lb"})
    assert flows() == [("materials", "loss", 5000, 0, 0)]


def test_a_count_that_agrees_is_an_entry_without_movements(world):
    put(world, "storage", "S-2", "N-1", wine="63.00", proof="119.70")
    done = count(world, {"vessel": "S-2", "as_book": True})
    assert done.entry.movements.count() == 0
    assert done.plan.lines[-1] == "The book and the count agree."
    assert verify(world.premises).faults == []


def test_an_inventory_is_signed_with_name_title_and_the_prescribed_words(world):
    # 27 CFR 19.623(a)(5), 19.45
    put(world, "storage", "S-2", "N-1", wine="63.00", proof="119.70")
    with pytest.raises(Refused) as refused:
        count(world, {"vessel": "S-2", "as_book": True}, kind="quarter")
    assert list(refused.value.errors) == ["counter", "counter_title", "statement"]
    assert STATEMENT.startswith("I declare under the penalties of perjury that this inventory,")


def test_an_inventory_that_leaves_out_a_tank_is_asked_about(world):
    # 27 CFR 19.333: all tanks; packages are not part of it.
    make_barrels(world.premises, "26A30-1")
    put(world, "storage", "S-2", "N-1", wine="63.00", proof="119.70")
    put(world, "storage", "S-1", "N-2", wine="7.00", proof="8.30")
    put(world, "storage", "26A30-1", "N-3", wine="10.00", proof="11.80")
    with pytest.raises(Asked, match=r"something in S-1\. Leave it out"):
        count(world, {"vessel": "S-2", "as_book": True}, kind="quarter", **SIGNED)


def test_a_figure_far_from_the_book_is_asked_about(world):
    put(world, "storage", "S-2", "N-1", wine="63.00", proof="119.70")
    with pytest.raises(Asked, match="far-from-the-book"):
        count(world, gauged("S-2", "36.00"))


def test_a_row_counted_by_the_wrong_measure_is_refused(world):
    put(world, "storage", "S-2", "N-1", wine="63.00", proof="119.70")
    with pytest.raises(Refused, match="S-2, lot N-1 is counted by a gauge"):
        count(world, {"vessel": "S-2", "bottles": 4})


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ({"vessel": "S-1", "as_book": True}, "The book has nothing in S-1"),
        ({"vessel": "S-2"}, "Say one of"),
        ({"vessel": "S-2", "as_book": True, "empty": True}, "Say one of"),
        ({"vessel": "S-2", "volume": "60 gal", "proof": "190"}, "temperature of the liquid"),
        ({"vessel": "S-9", "as_book": True}, "no vessel “S-9”"),
    ],
)
def test_a_row_that_says_too_little_is_refused(world, row, sentence):
    put(world, "storage", "S-2", "N-1", wine="63.00", proof="119.70")
    with pytest.raises(Refused, match=sentence):
        count(world, row)


def test_the_same_place_is_not_counted_twice(world):
    put(world, "storage", "S-2", "N-1", wine="63.00", proof="119.70")
    with pytest.raises(Refused, match="counted twice"):
        count(world, gauged("S-2", "63"), {"vessel": "S-2", "as_book": True})


def test_the_last_count_is_the_one_that_stands_for_the_latest_day(world):
    # 27 CFR 19.372: counted some days off and adjusted to the date.
    put(world, "finished", "STORE", "K-1", wine="5.55", proof="4.99", amount=28, **GIN)
    row = {"vessel": "STORE", "bottles": 28}
    june = count(world, row, at="2026-07-02 09:00", kind="bottled", as_of="2026-06-30", **SIGNED)
    count(world, row, at="2026-07-03 09:00")
    plant = world.premises
    assert last_count(plant, date(2026, 6, 30)) == june.entry
    assert last_count(plant, date(2026, 7, 31), BOTTLED) == june.entry
    assert last_count(plant, date(2026, 7, 31), QUARTER) is None
    assert last_count(plant, date(2026, 6, 29)) is None


def test_a_count_taken_back_stands_for_nothing(world):
    put(world, "storage", "S-2", "N-1", wine="63.00", proof="119.70")
    done = count(world, {"vessel": "S-2", "as_book": True})
    world.record("reverse", "2026-03-31 17:00", entry=done.entry.number, reason="wrong tank")
    assert last_count(world.premises, date(2026, 12, 31)) is None


def test_what_a_count_found_reads_back_from_its_form(world):
    put(world, "storage", "S-2", "N-1", wine="63.00", proof="119.70")
    put(world, "finished", "STORE", "K-1", wine="5.55", proof="4.99", amount=28, **GIN)
    put(world, "storage", "S-1", "N-2", wine="0.50", proof="0.60")
    done = count(
        world, gauged("S-2", "62.80"), {"vessel": "STORE", "bottles": 27},
        {"vessel": "S-1", "empty": True},
    )  # fmt: skip
    found = {one.held.vessel.code: one.found for one in counted_in(done.entry)}
    assert found == {"S-2": (0, 6280, 11932), "STORE": (27, 535, 481)}
    assert Holding.objects.get(account="finished").proof_gallons == 481


def test_a_count_stands_for_a_day_near_it(world):
    put(world, "storage", "S-2", "N-1", wine="63.00", proof="119.70")
    with pytest.raises(Refused, match="within a month"):
        count(world, {"vessel": "S-2", "as_book": True}, as_of="2025-12-31")
