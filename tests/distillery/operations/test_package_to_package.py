"""Changing barrels: each new package holds spirits of one old package only."""

from datetime import date

import pytest

from distillery.recording import Refused
from ledger.models import Lot, Movement
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
DAY = "2026-01-30 10:00"
RUM = {"class_code": "rum", "wood": "new", "aged_from": date(2024, 1, 30), "name": "Rum"}


def cellar():
    """A barrel of rum of two years and three used ones."""
    world = make_world()
    make_barrels(world.premises, "B-1", rated=10)
    make_barrels(world.premises, "U-1", "U-2", "U-3", rated=5, cooperage="R")
    put(world, "storage", "B-1", "24A30", wine="10", proof="11.8", **RUM)
    return world


def change(world, *rows, **fields):
    return world.record("package-to-package", DAY, packages=list(rows), **fields)


def to(new, net=None, **more):
    gauge = {"net": f"{net} lb", "proof": "120"} if net else {}
    return {"old": "B-1", "vessel": new, **gauge, **more}


def test_ungauged_it_goes_over_by_the_book():
    change(cellar(), to("U-1"))
    assert (held("B-1"), held("U-1")) == ([], [("storage", "26A30", 1000, 1180)])


def test_the_second_spell_runs_in_the_new_wood():
    # 27 CFR 5.1: from 30 January 2024 to 30 January 2026 are 2 years
    change(cellar(), to("U-1"))
    lot = Lot.objects.get(code="26A30")
    assert (lot.wood, lot.aged_new, lot.aged_from) == ("other", "P2Y", date(2026, 1, 30))


def test_one_old_barrel_may_fill_several():
    # 27 CFR 19.325: each new package of one old package only; the rest is lost (19.462(a))
    change(cellar(), to("U-1", "30"), to("U-2", "30"))
    filled = moved("storage", "storage", "fill")[2]
    assert moved("storage", "loss", "dump")[2] == 1180 - filled
    assert Movement.objects.filter(purpose="fill", cooperage="used").count() == 2


def test_what_stays_in_the_old_one_is_no_loss():
    change(cellar(), to("U-1", "30", part=True))
    assert moved("storage", "loss", "dump") == (0, 0, 0)
    assert held("B-1")[0][1] == "24A30"


def test_two_old_into_one_new_is_refused():
    # 27 CFR 19.325
    world = cellar()
    put(world, "storage", "U-3", "X", wine="5", proof="6", **RUM)
    with pytest.raises(Refused, match=r"19\.325"):
        change(world, to("U-1", "30"), {"old": "U-3", "vessel": "U-1", "net": "30 lb",
                                        "proof": "120"})  # fmt: skip


@pytest.mark.parametrize(
    "rows",
    [
        [to("U-1"), to("U-2")],
        [to("U-1", part=True)],
        [to("B-1")],
        [{"old": "U-2", "vessel": "U-1"}],
    ],
)
def test_what_cannot_be_is_refused(rows):
    with pytest.raises(Refused) as refused:
        change(cellar(), *rows)
    assert list(refused.value.errors) == ["packages"]


def test_gin_of_processing_stays_in_processing():
    world = cellar()
    put(world, "processing", "U-3", "G", wine="5", proof="5", class_code="gin", stage="batch")
    change(world, {"old": "U-3", "vessel": "U-1"})
    assert held("U-1")[0][0] == "processing"


def test_dated_back_it_sees_the_barrel_of_that_day():
    world = cellar()
    change(world, to("U-1"))
    put(world, "storage", "B-1", "LATER", wine="9", proof="10", at="2026-03-01 09:00", **RUM)
    world.record("package-to-package", "2026-02-10 09:00",
                 packages=[{"old": "U-1", "vessel": "U-2"}])  # fmt: skip
    assert held("U-2")[0][3] == 1180
