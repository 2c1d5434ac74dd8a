"""Leaking and missing packages: the loss under its cause, and who is told."""

import pytest

from distillery.models import BarrelAct
from distillery.recording import Asked, Refused
from ledger.models import Movement
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
DAY = "2026-03-02 08:00"


def cellar():
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2", rated=10)
    for code in ("B-1", "B-2"):
        put(world, "storage", code, f"L-{code}", wine="10", proof="11.8", class_code="rum")
    return world


def lose(world, cause, *rows, at=DAY, **more):
    fields = {"packages": list(rows), "cause": cause, "found_how": "Ada, on her round"}
    return world.record("package-loss", at, **fields | more)


def test_a_leak_is_lost_down_to_the_gauge():
    # 27 CFR 19.462(a): an unusual gauge determines the loss
    lose(cellar(), "leak", {"vessel": "B-1", "net": "30 lb", "proof": "118", "marks": "head"})
    lost = moved("storage", "loss", "leak")[2]
    assert held("B-1")[0][3] == 1180 - lost > 0
    act = BarrelAct.objects.get()
    assert (act.kind, act.words) == ("leaking", "leaking, head, Ada, on her round")


def test_an_empty_barrel_loses_all():
    lose(cellar(), "accident", {"vessel": "B-1"})
    assert moved("storage", "loss", "accident") == (0, 1000, 1180)


def test_a_missing_package_is_told_to_ttb_at_once():
    # 27 CFR 19.462(c): report at once, pay or claim
    world = cellar()
    with pytest.raises(Asked, match="report-theft"):
        lose(world, "missing", {"vessel": "B-1"}, {"vessel": "B-2"})
    done = lose(world, "missing", {"vessel": "B-1"}, {"vessel": "B-2"},
                reported="2 March by letter")  # fmt: skip
    assert moved("storage", "loss", "missing") == (0, 2000, 2360)
    assert all(row.taxed for row in Movement.objects.filter(purpose="missing"))
    assert any("10.00 PG here" in line for line in done.plan.lines)  # 19.463(b): 5 PG each


def test_an_excused_theft_is_not_taxed():
    # 27 CFR 19.461(b): taxable where it is not excused
    lose(cellar(), "theft", {"vessel": "B-1"}, reported="2 March", excused="claim filed")
    assert not Movement.objects.get(purpose="theft").taxed


@pytest.mark.parametrize(
    "rows",
    [
        [{"vessel": "B-1"}, {"vessel": "B-1"}],
        [{"vessel": "B-1", "net": "200 lb", "proof": "118"}],
    ],
)
def test_what_cannot_be_is_refused(rows):
    with pytest.raises(Refused) as refused:
        lose(cellar(), "leak", *rows)
    assert list(refused.value.errors) == ["packages"]


def test_how_it_was_found_is_asked():
    with pytest.raises(Refused) as refused:
        lose(cellar(), "leak", {"vessel": "B-1"}, found_how="")
    assert list(refused.value.errors) == ["found_how"]


def test_dated_back_and_taken_back():
    world = cellar()
    put(world, "storage", "S-1", "LATER", wine="1", proof="1", at="2026-04-01 08:00")
    done = lose(world, "leak", {"vessel": "B-1"})
    world.record("reverse", DAY, entry=done.entry.number, reason="another barrel")
    assert (BarrelAct.objects.get().is_void, held("B-1")[0][3]) == (True, 1180)
