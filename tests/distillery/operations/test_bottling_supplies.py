"""Empty bottles, closures and labels: received, used, scrapped, and traced into the bottles."""

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Descent, Holding, Movement
from ledger.verifying import verify
from tests.distillery.operations.bottling_line import bottle, opened, supplies
from tests.world import make_world

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    return make_world()


def left(code):
    return Holding.objects.get(lot__code=code, account="materials").amount


def test_pieces_are_received_as_whole_numbers(world):
    lots = supplies(world, bottle=600)
    held = Holding.objects.get(lot__code=lots["bottle"])
    assert (held.account, held.amount, held.lot.unit) == ("materials", 600, "each")


def test_half_a_bottle_is_refused(world):
    supplies(world, bottle=600)
    with pytest.raises(Refused, match="whole number"):
        world.record(
            "receive-material", "2026-03-02 09:00", material="BOTTLE", quantity="1.5",
            vessel="SHELF", supplier="Bay Glass (invented)",
        )  # fmt: skip


def test_bottling_uses_them_and_the_bottles_come_from_them(world):
    # 27 CFR 19.603: receipt, use and disposition of liquor bottles.
    lots = supplies(world, bottle=600, closure=1000)
    opened(world)
    bottle(
        world, cases=43, loose=5,
        materials=[
            {"lot": lots["bottle"], "used": 521, "scrapped": 2},
            {"lot": lots["closure"], "used": 521},
        ],
    )  # fmt: skip
    assert (left(lots["bottle"]), left(lots["closure"])) == (77, 479)
    assert Movement.objects.get(from_account="materials", to_account="loss").amount == 2
    parents = set(Descent.objects.filter(child__stage="bottled").values_list("parent__code"))
    assert {(lots["bottle"],), (lots["closure"],)} <= parents
    assert verify(world.premises).faults == []


def test_it_asks_when_bottles_and_empties_differ(world):
    lots = supplies(world, bottle=600)
    opened(world)
    rows = [{"lot": lots["bottle"], "used": 500}]
    with pytest.raises(Asked, match=r"empties-differ"):
        bottle(world, cases=43, loose=5, materials=rows)
    assert bottle(world, cases=43, loose=5, materials=rows, confirm=["empties-differ"]).is_new


def test_glass_that_came_after_the_first_day_is_used_all_the_same(world):
    opened(world)
    bottle(world, cases=1)
    late = supplies(world, at="2026-03-22 07:00", bottle=100)["bottle"]
    bottle(world, "2026-03-22 16:00", cases=1, materials=[{"lot": late, "used": 12}])
    assert left(late) == 88
    assert verify(world.premises).faults == []


def test_grain_is_no_supply(world):
    done = world.record(
        "receive-material", "2026-03-01 09:00", material="CORN", quantity="100 lb",
        vessel="BIN-1", supplier="Dune Grain (invented)",
    )  # fmt: skip
    opened(world)
    rows = [{"lot": done.entry.lots_opened.get().code, "used": 12}]
    with pytest.raises(Refused, match="counted in lb"):
        bottle(world, cases=1, materials=rows)


def test_a_bottling_taken_back_gives_them_back(world):
    lots = supplies(world, bottle=600)
    opened(world)
    done = bottle(world, cases=1, materials=[{"lot": lots["bottle"], "used": 12}])
    world.record("reverse", "2026-03-21 17:00", entry=done.entry.number, reason="miscounted")
    assert left(lots["bottle"]) == 600
