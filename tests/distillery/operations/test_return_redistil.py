"""Spirits received for redistillation and sent back unused: to storage, if they came from there."""

import pytest

from distillery.recording import Asked, Refused
from ledger.verifying import verify
from tests.distillery.operations.plant_floor import gauge
from tests.distillery.stock import held, moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db

DRAW, AT = "2026-02-03 10:00", "2026-02-04 10:00"


def drawn(account: str = "storage", vessel: str = "S-1", to: str = "NS"):
    """20 gal at 190 proof of 100 drawn for redistillation out of *vessel*."""
    world = make_world()
    put(world, account, vessel, "A", wine="100", proof="190")
    draw(world, vessel, to)
    return world


def draw(world, vessel: str, to: str, at: str = DRAW):
    fields = {"vessel": vessel, "to": to, "gauge": gauge("20 gal", "190")}
    return world.record("draw-redistil", at, **fields)


def back(world, **more):
    return world.record("return-redistil", AT, **{"vessel": "NS", "to": "S-2", **more})


def test_all_of_it_goes_back_to_storage():
    # TTB F 5110.11 takes it as a return to storage; 27 CFR 19.322 receipts
    world = drawn()
    done = back(world, empties=True)
    assert moved("redistil", "storage", "return") == (0, 2000, 3800)
    assert (held("NS"), held("S-2")) == ([], [("storage", "A", 2000, 3800)])
    assert done.entry.document == f"RU-{done.entry.number}"
    assert verify(world.premises).faults == []


def test_into_the_tank_it_came_from_it_is_the_same_lot_again():
    world = drawn()
    back(world, empties=True, to="S-1")
    assert held("S-1") == [("storage", "A", 10000, 19000)]


def test_it_can_stay_where_it_stands():
    world = drawn()
    back(world, empties=True, to="")
    assert held("NS") == [("storage", "A", 2000, 3800)]


def test_a_part_goes_back_and_the_rest_waits():
    world = drawn()
    back(world, volume="5 gal")
    assert held("NS") == [("redistil", "A", 1500, 2850)]


def test_what_the_gauge_lacks_is_lost():
    world = drawn()
    back(world, empties=True, gauge=gauge("19.8 gal", "190"))
    assert moved("redistil", "loss", "empty") == (0, 20, 38)
    assert held("S-2") == [("storage", "A", 1980, 3762)]


def test_spirits_out_of_processing_do_not_go_to_storage():
    # 27 CFR 19.351(c)
    world = drawn("processing", "P-1")
    with pytest.raises(Refused, match=r"19\.351\(c\)") as refused:
        back(world, empties=True)
    assert list(refused.value.errors) == ["vessel"]
    assert "by the difference" in refused.value.errors["vessel"][0]
    assert held("NS") == [("redistil", "A", 2000, 3800)]


def test_nor_what_was_mingled_with_them():
    world = drawn()
    put(world, "processing", "P-1", "B", wine="100", proof="190")
    draw(world, "P-1", "NS", "2026-02-03 11:00")
    with pytest.raises(Refused, match="drawn out of processing"):
        back(world, empties=True)


def test_a_draw_taken_back_counts_no_more():
    world = drawn()
    put(world, "processing", "P-1", "B", wine="100", proof="190")
    done = draw(world, "P-1", "NS", "2026-02-03 11:00")
    world.record("reverse", "2026-02-03 12:00", entry=str(done.entry.number), reason="Wrong tank")
    back(world, empties=True)
    assert moved("redistil", "storage", "return") == (0, 2000, 3800)


def test_what_was_never_in_storage_is_asked_about():
    world = make_world()
    put(world, "redistil", "NS", "N-1", wine="20", proof="38")
    with pytest.raises(Asked) as asked:
        back(world, empties=True)
    assert [q.code for q in asked.value.plan.questions] == ["not-from-storage"]


@pytest.mark.parametrize(
    ("fields", "field"), [({"volume": "5 gal", "to": ""}, "to"), ({}, "gauge")]
)
def test_a_half_told_return_is_refused_beside_its_field(fields, field):
    world = drawn()
    with pytest.raises(Refused) as refused:
        back(world, **fields)
    assert list(refused.value.errors) == [field]


def test_a_return_dated_back_sees_the_tank_as_it_was():
    world = drawn()
    world.record("draw-redistil", "2026-02-06 10:00", vessel="S-1", to="NS",
                 gauge=gauge("10 gal", "190"))  # fmt: skip
    back(world, empties=True)
    assert held("NS") == [("redistil", "A", 1000, 1900)]
    assert verify(world.premises).faults == []
