"""Gauging again: a tank comes to its gauge, a barrel keeps its book until it is dumped."""

from datetime import date

import pytest

from distillery.models import BarrelAct
from distillery.recording import Asked, Refused
from ledger.models import Entry, Lot
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
DAY = "2026-09-14 10:00"
BOURBON = {
    "class_code": "whisky", "type_code": "bourbon", "wood": "new", "aged_from": date(2026, 1, 30),
}  # fmt: skip


def cellar():
    """A barrel of 10 gal at 118 proof, filled on 30 January, and a tank."""
    world = make_world()
    make_barrels(world.premises, "B-1", rated=10)
    put(world, "storage", "B-1", "26A30", wine="10", proof="11.8", at="2026-01-30 09:00", **BOURBON)
    put(world, "storage", "S-1", "S", wine="50", proof="95")
    return world


def again(world, *rows, **fields):
    return world.record("regauge", DAY, vessels=list(rows), **fields)


def weighed(gross="122", **more):
    return {"vessel": "B-1", "gross": f"{gross} lb", "proof": "120", **more}


def tank(volume):
    return {"vessel": "S-1", "volume": f"{volume} gal", "temperature": "60 F", "proof": "190"}


def test_a_barrel_keeps_what_it_was_filled_with():
    # 27 CFR 19.462(a): a package's loss is determined when it is emptied
    done = again(cellar(), weighed())
    assert (done.plan.legs, held("B-1")) == ((), [("storage", "26A30", 1000, 1180)])
    assert "till its dump" in done.plan.lines[0]


def test_the_gauge_is_kept_with_present_tare_and_original_proof_gallons():
    # 27 CFR 19.619: gross, present tare, net, proof, proof gallons now and first
    done = again(cellar(), weighed(tare="51.5 lb"))
    act = BarrelAct.objects.get()
    assert (act.gross_lb, act.tare_lb, act.proof) == (122, 51.5, 1200)
    (slip,) = done.plan.slips
    assert ("original proof gallons", "11.80 PG") in slip.result
    assert ("Tare", "51.5 lb") in slip.readings


def test_the_empty_weight_comes_off_the_list():
    again(cellar(), weighed())
    assert BarrelAct.objects.get().tare_lb == 50


def test_after_an_accident_the_loss_is_booked():
    # 27 CFR 19.462(a): an accident or an unusual gauge determines it
    again(cellar(), weighed(), why="accident", explanation="A stave broke")
    lost = moved("storage", "loss", "accident")[2]
    assert lost > 0
    assert held("B-1")[0][3] == 1180 - lost


def test_a_tank_comes_to_its_gauge():
    # 27 CFR 30.51: 49.5 gal at 190 proof are 94.05 PG
    again(cellar(), tank("49.5"))
    assert held("S-1") == [("storage", "S", 4950, 9405)]
    assert moved("storage", "loss", "regauge") == (0, 50, 95)


def test_a_tank_without_a_difference_moves_nothing():
    done = again(cellar(), tank("50"))
    assert done.plan.legs == ()
    assert "as the book has it" in done.plan.lines[0]


def test_a_tank_with_more_is_asked_about():
    world = cellar()
    with pytest.raises(Asked, match="gauge-gain"):
        again(world, tank("50.5"))
    again(world, tank("50.5"), confirm=["gauge-gain"])
    assert moved("gain", "storage", "regauge") == (0, 50, 95)


@pytest.mark.parametrize(
    "rows", [[{"vessel": "B-1"}], [weighed(), weighed()], [{"vessel": "S-2", "net": "60 lb"}]]
)
def test_what_cannot_be_is_refused(rows):
    with pytest.raises(Refused) as refused:
        again(cellar(), *rows)
    assert list(refused.value.errors) == ["vessels"]


def test_a_topped_up_barrel_began_with_both():
    # 27 CFR 19.619: original proof gallons; 11.80 stood there and 0.59 came (30.51)
    world = cellar()
    young = {"class_code": "whisky", "type_code": "bourbon"}
    put(world, "storage", "S-2", "N", wine="5", proof="5.9", **young)
    world.record("top-up", "2026-09-01 10:00", vessel="S-2", confirm=["top-up-mingles"],
                 barrels=[{"barrel": "B-1", "volume": "0.5 gal"}])  # fmt: skip
    done = again(world, weighed())
    assert ("original proof gallons", "12.39 PG") in done.plan.slips[0].result


def test_taken_back_it_says_nothing_any_more():
    world = cellar()
    done = again(world, weighed())
    world.record("reverse", DAY, entry=done.entry.number, reason="wrong barrel")
    assert BarrelAct.objects.get().is_void


def test_dated_back_it_sees_the_barrel_of_that_day():
    world = cellar()
    row = {"vessel": "B-1", "net": "60 lb", "proof": "120"}
    world.record("dump", "2026-10-01 10:00", vessels=[row], into="P-1")
    again(world, weighed())
    assert Entry.objects.latest("number").operation == "regauge"
    assert Lot.objects.get(code="26A30").aged_from == date(2026, 1, 30)
