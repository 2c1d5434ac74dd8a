"""Topping up: of one lot nothing is renamed; else the youngest gives the age."""

from datetime import date

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Lot
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
DAY = "2026-01-30 10:00"
BOURBON = {
    "class_code": "whisky", "type_code": "bourbon", "state": "XX", "wood": "new",
    "aged_from": date(2024, 1, 30),
}  # fmt: skip


def cellar():
    """Two sisters of one lot, a barrel of another lot two years younger."""
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2", "B-3", rated=10)
    put(world, "storage", "B-1", "24A30", wine="9", proof="10.62", **BOURBON)
    world.record(
        "opening-balance", "2024-01-31 09:00",
        rows=[{"account": "storage", "vessel": "S-2", "lot": "NEW", "wine_gallons": "20",
               "proof_gallons": "23.6", "family": "whisky", "type_code": "bourbon", "state": "XX",
               "distilled_at": "140"}],
    )  # fmt: skip
    put(world, "storage", "B-2", "25A30", wine="9", proof="10.62",
        **BOURBON | {"aged_from": date(2025, 1, 30)})  # fmt: skip
    return world


def top(world, *rows, vessel="B-1", **fields):
    rows = [{"barrel": code, "volume": f"{gal} gal"} for code, gal in rows]
    return world.record("top-up", DAY, vessel=vessel, barrels=rows, **fields)


def sisters():
    """B-1 and B-3 of one lot."""
    world = make_world()
    make_barrels(world.premises, "B-1", "B-3", rated=10)
    row = {
        "account": "storage", "lot": "24A30", "wine_gallons": "9", "proof_gallons": "10.62",
        "family": "whisky", "type_code": "bourbon", "distilled_at": "140",
        "aged_from": "2024-01-30",
    }  # fmt: skip
    rows = [{**row, "vessel": code} for code in ("B-1", "B-3")]
    world.record("opening-balance", "2024-02-01 09:00", rows=rows)
    return world


def test_from_a_sister_the_lot_stays_itself():
    # 1 gal at 118 proof is 1.18 PG (27 CFR 30.51)
    done = top(sisters(), ("B-3", "1"))
    assert (done.plan.lots, done.plan.questions) == ((), ())
    assert held("B-3") == [("storage", "24A30", 1000, 1180)]
    assert held("B-1") == [("storage", "24A30", 800, 944)]


def test_another_lot_gives_a_new_one_as_old_as_the_youngest():
    # 27 CFR 19.328: of 2 years and 1 year, 1 year
    world = cellar()
    with pytest.raises(Asked, match="top-up-mingles") as asked:
        top(world, ("B-2", "1"))
    (question,) = asked.value.plan.questions
    assert "2 years" in question.text
    assert "1 year, the age of the youngest" in question.text
    top(world, ("B-2", "1"), confirm=["top-up-mingles"])
    ((_, code, _, proof),) = held("B-2")
    lot = Lot.objects.get(code=code)
    assert (proof, lot.wood, lot.aged_new) == (1180, "new", "P1Y")
    assert lot.aged_from == date(2026, 1, 30)


def test_new_spirits_from_a_tank_take_the_age_away():
    world = cellar()
    top(world, ("B-2", "1"), vessel="S-2", confirm=["top-up-mingles"])
    ((_, code, _, _),) = held("B-2")
    assert Lot.objects.get(code=code).aged_new == ""


def test_an_emptied_sister_loses_what_the_book_has_more():
    top(sisters(), ("B-3", "1"), empties=True)
    assert held("B-1") == []
    assert moved("storage", "loss", "dump") == (0, 800, 944)


def test_another_kind_is_refused():
    # 27 CFR 19.326
    world = cellar()
    put(world, "storage", "B-3", "RUM", wine="9", proof="10", class_code="rum")
    with pytest.raises(Refused, match="not mingled"):
        top(world, ("B-3", "1"))


def test_from_processing_into_storage_is_refused():
    # 27 CFR 19.351(c)
    world = cellar()
    put(world, "processing", "P-1", "G", wine="9", proof="10", class_code="gin")
    with pytest.raises(Refused, match=r"19\.351"):
        top(world, ("B-1", "1"), vessel="P-1")


@pytest.mark.parametrize("rows", [[("B-1", "1")], [("B-2", "1"), ("B-2", "1")], [("B-3", "1")]])
def test_what_cannot_be_is_refused(rows):
    with pytest.raises(Refused) as refused:
        top(cellar(), *rows)
    assert list(refused.value.errors) == ["barrels"]


def test_far_above_the_rated_capacity_is_asked_about():
    with pytest.raises(Asked, match="over-capacity"):
        top(sisters(), ("B-3", "3"))
