"""Drawing for redistillation: gauged out of its account, waiting for the still."""

import pytest

from distillery.recording import Refused
from tests.distillery.stock import held, moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db
DAY = "2026-03-02 10:00"


def stocked(account="storage", **facts):
    world = make_world()
    put(world, account, "S-2", "N", wine="115.58", proof="219.60", **facts)
    return world


def drawn(world, volume, **fields):
    gauge = {"volume": f"{volume} gal", "temperature": "60 F", "proof": "190"}
    return world.record("draw-redistil", DAY, vessel="S-2", gauge=gauge, **fields)


def test_a_part_leaves_storage_at_its_gauge():
    # 27 CFR 19.283(d): gauged when moved between accounts; 52.63 gal at 190 are 100.00 PG
    world = stocked()
    done = drawn(world, "52.63", to="NS")
    assert held("NS") == [("redistil", "N", 5263, 10000)]
    assert held("S-2") == [("storage", "N", 6295, 11960)]
    assert done.entry.document == f"GR-{done.entry.number}"


def test_all_of_it_may_wait_where_it_stands():
    world = stocked("processing")
    drawn(world, "115.58", empties=True)
    assert held("S-2") == [("redistil", "N", 11558, 21960)]


def test_what_emptying_does_not_find_is_lost_in_storage():
    # 27 CFR 19.462(a); 115 gal at 190 are 218.50 PG
    drawn(stocked(), "115", empties=True, to="NS")
    assert moved("storage", "loss", "empty") == (0, 58, 110)


def test_two_lots_for_redistillation_come_together_in_a_new_one():
    world = stocked()
    put(world, "redistil", "NS", "OLD", wine="10", proof="19")
    drawn(world, "52.63", to="NS")
    assert held("NS") == [("redistil", "M-3", 6263, 11900)]


def test_another_kind_for_redistillation_is_kept_apart():
    # 27 CFR 19.316(a): different kinds are redistilled separately
    world = stocked()
    put(world, "redistil", "NS", "OLD", wine="10", proof="12", class_code="whisky")
    with pytest.raises(Refused, match="not mingled"):
        drawn(world, "52.63", to="NS")


def test_a_part_needs_its_own_vessel():
    with pytest.raises(Refused) as refused:
        drawn(stocked(), "52.63")
    assert list(refused.value.errors) == ["to"]


def test_wine_is_refused():
    with pytest.raises(Refused, match="wine"):
        drawn(stocked(class_code="wine"), "52.63", to="NS")
