"""Dumping into a tank of the same account: what stays in storage may be filled again."""

from datetime import date

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Descent, Lot
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
DAY = "2026-09-14 10:00"
BOURBON = {"class_code": "whisky", "type_code": "bourbon", "state": "XX", "wood": "new"}


def cellar():
    """Two lots of bourbon in barrels of 10 gal at 118 proof, of 30 January and of 1 March."""
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2", "B-3", rated=10)
    for code, day in (("B-1", date(2026, 1, 30)), ("B-2", date(2026, 3, 1))):
        put(
            world, "storage", code, f"L-{code}", wine="10", proof="11.8", aged_from=day, **BOURBON,
            at=f"{day} 09:00",
        )  # fmt: skip
    return world


def dump(world, *rows, at=DAY, **fields):
    return world.record("dump-to-tank", at, vessels=list(rows), **{"into": "S-1", **fields})


def weighed(code, net="60", **more):
    return {"vessel": code, "net": f"{net} lb", "proof": "120", **more}


def test_it_stays_in_storage_with_its_age_stopped():
    # 27 CFR 19.590(b), 5.1; from 30 January to 14 September are 7 months and 15 days
    world = cellar()
    dump(world, weighed("B-1"))
    ((account, code, _, proof),) = held("S-1")
    lot = Lot.objects.get(code=code)
    assert (account, lot.wood, lot.aged_new) == ("storage", "", "P7M15D")
    assert moved("storage", "loss", "dump")[2] == 1180 - proof


def test_it_may_be_filled_into_a_second_cask():
    world = cellar()
    dump(world, weighed("B-1"))
    world.record("fill-barrels", "2026-09-15 10:00", vessel="S-1", alike="B-3", empties=True)
    lot = Lot.objects.get(code="26I15")
    assert (lot.wood, lot.aged_new, lot.aged_from) == ("new", "P7M15D", date(2026, 9, 15))


def test_two_lots_make_one_as_old_as_the_youngest():
    # 27 CFR 19.326, 19.328; from 1 March to 14 September are 6 months and 13 days
    world = cellar()
    done = dump(world, weighed("B-1"), weighed("B-2"))
    assert Lot.objects.get(code=done.plan.lots[0].code.format(n=3)).aged_new == "P6M13D"
    assert moved("storage", "storage", "mingle")[1] > 0
    assert {row.parent.code for row in Descent.objects.filter(child__code="M-3")} == {
        "L-B-1", "L-B-2",
    }  # fmt: skip


def test_a_part_drawn_leaves_the_barrel_its_lot():
    # 27 CFR 19.462(a): a loss is determined when a package is emptied
    world = cellar()
    dump(world, weighed("B-1", "30", part=True))
    assert moved("storage", "loss", "dump") == (0, 0, 0)
    assert held("B-1")[0][1] == "L-B-1"


def test_barrels_kept_in_processing_are_dumped_there():
    # 27 CFR 19.351(c): processing gives nothing back to storage
    world = cellar()
    put(world, "processing", "B-3", "G", wine="10", proof="10", class_code="gin", stage="batch",
        name="Gin", wood="other", aged_from=date(2026, 1, 30))  # fmt: skip
    dump(world, weighed("B-3", "70"), into="P-1", confirm=["gauge-gain"])
    assert held("P-1")[0][:2] == ("processing", "B-4")


def test_storage_and_processing_together_are_refused():
    world = cellar()
    put(world, "processing", "B-3", "G", wine="10", proof="10", class_code="gin")
    with pytest.raises(Refused, match="records of their own"):
        dump(world, weighed("B-1"), weighed("B-3"))


def test_a_tank_of_processing_takes_nothing_of_storage():
    world = cellar()
    put(world, "processing", "P-1", "G", wine="10", proof="10", class_code="gin")
    with pytest.raises(Refused) as refused:
        dump(world, weighed("B-1"), into="P-1")
    assert list(refused.value.errors) == ["into"]


def test_bourbon_and_rye_are_asked_about():
    # 27 CFR 19.326: under 190 proof the same kind only
    world = cellar()
    rye = BOURBON | {"type_code": "rye", "aged_from": date(2026, 1, 30)}
    put(world, "storage", "B-3", "RYE", wine="10", proof="11.8", **rye)
    with pytest.raises(Asked, match="mingles-types"):
        dump(world, weighed("B-1"), weighed("B-3"))


def test_charred_new_and_reused_wood_are_asked_about():
    # 27 CFR 5.193(e): mingling charred with reused cooperage needs a formula
    world = cellar()
    used = BOURBON | {"wood": "other", "aged_from": date(2026, 1, 30)}
    put(world, "storage", "B-3", "USED", wine="10", proof="11.8", **used)
    with pytest.raises(Asked, match="charred-with-reused"):
        dump(world, weighed("B-1"), weighed("B-3"))


def test_a_vessel_without_a_gauge_is_refused():
    with pytest.raises(Refused, match="gauge B-1"):
        dump(cellar(), {"vessel": "B-1"})


def test_dated_back_before_a_later_fill_it_sees_that_day():
    world = cellar()
    put(world, "storage", "S-1", "LATER", wine="5", proof="5.9", at="2026-10-01 09:00", **BOURBON)
    dump(world, weighed("B-1"))
    assert {row[1] for row in held("S-1")} == {"LATER", "M-4"}


def test_a_range_of_barrels_goes_under_one_gauge():
    # 27 CFR 30.51: 18 gal at 120 proof are 21.60 of 23.60 PG
    dump(cellar(), alike="B-1..B-2", gauge={"volume": "18 gal", "temperature": "60 F",
                                            "proof": "120"})  # fmt: skip
    assert moved("storage", "loss", "dump") == (0, 200, 200)
