"""Sampling barrels: milliliters at the book's strength, in a running total of the lot."""

import pytest

from distillery.models import BarrelAct, SampleTaken
from distillery.recording import Refused
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
DAY = "2026-03-02 08:00"


def cellar():
    """Two barrels of one lot at 118 proof, one of another lot."""
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2", "B-3", rated=10)
    row = {
        "account": "storage", "lot": "26A30", "wine_gallons": "10", "proof_gallons": "11.8",
        "family": "rum",
    }  # fmt: skip
    rows = [{**row, "vessel": code} for code in ("B-1", "B-2")]
    world.record("opening-balance", "2026-02-01 09:00", rows=rows)
    put(world, "storage", "B-3", "OTHER", wine="10", proof="11.8", class_code="rum",
        at="2026-02-02 09:00")  # fmt: skip
    return world


def sample(world, *rows, at=DAY, **more):
    samples = [{"barrel": code, "volume": f"{ml} mL", **extra} for code, ml, extra in rows]
    fields = {"purpose": "research", "disposition": "tasted by the blender"}
    return world.record("barrel-sample", at, samples=samples, **fields | more)


def test_two_pulls_move_their_hundredths():
    # 27 CFR 19.582: 400 mL x 0.000264172 = 0.1057 gal, at 118 proof 0.1247 PG
    sample(cellar(), ("B-1", 200, {}), ("B-2", 200, {}))
    assert moved("storage", "research", "sample") == (0, 11, 12)
    assert SampleTaken.objects.get().volume_ml == 400


def test_a_small_pull_waits_for_the_next():
    # a hundredth of a gallon is 37.85 mL (231 cubic inches, exact)
    world = cellar()
    done = sample(world, ("B-1", 15, {}))
    assert (done.plan.legs, held("B-1")[0][2]) == ((), 1000)
    sample(world, ("B-2", 15, {}))
    assert moved("storage", "research", "sample")[1] == 1


def test_what_was_found_is_kept_for_the_barrel():
    sample(cellar(), ("B-1", 50, {"proof": "117.2", "words": "amber, vanilla"}))
    act = BarrelAct.objects.get()
    assert (act.proof, act.words) == (1172, "50.00 mL. amber, vanilla")


def test_poured_back_nothing_moves():
    done = sample(cellar(), ("B-1", 200, {}), purpose="returned", disposition="poured back")
    assert (done.plan.legs, SampleTaken.objects.count()) == ((), 0)


@pytest.mark.parametrize(
    "rows", [[("B-1", 20, {}), ("B-1", 20, {})], [("B-1", 20, {}), ("B-3", 20, {})]]
)
def test_what_cannot_be_is_refused(rows):
    with pytest.raises(Refused) as refused:
        sample(cellar(), *rows)
    assert list(refused.value.errors) == ["samples"]


def test_what_became_of_it_is_asked():
    # 27 CFR 19.616: disposition
    with pytest.raises(Refused) as refused:
        sample(cellar(), ("B-1", 20, {}), disposition="")
    assert list(refused.value.errors) == ["disposition"]


def test_dated_back_and_taken_back():
    world = cellar()
    put(world, "storage", "S-1", "LATER", wine="1", proof="1", at="2026-04-01 08:00")
    done = sample(world, ("B-1", 200, {}))
    world.record("reverse", DAY, entry=done.entry.number, reason="not drawn")
    assert (SampleTaken.objects.get().is_void, BarrelAct.objects.get().is_void) == (True, True)
