"""Any code to its lot: vessels, barrels, bottlings, both of one name, near codes, other plants."""

import pytest

from distillery.tracing.finding import UnknownCode, choices_for
from tests.distillery.stock import put
from tests.world import make_plant, make_vessel, make_world

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    return make_world()


def lots(world, code):
    return [one.lot.code for one in choices_for(world.premises, code)]


def test_a_lot_is_found_in_any_case_and_spacing(world):
    put(world, "storage", "S-1", "Lot 7", wine="10", proof="19")
    assert lots(world, "  lot  7 ") == ["Lot 7"]


def test_a_vessel_with_several_lots_lets_choose(world):
    for lot in ("K-1", "K-2"):
        put(world, "finished", "STORE", lot, wine="10", proof="9", amount=10, stage="bottled",
            unit="bottle")  # fmt: skip
    assert lots(world, "STORE") == ["K-2", "K-1"]


def test_a_code_of_lot_and_vessel_lets_choose(world):
    make_vessel(world.premises, "T-9", "tank")
    put(world, "storage", "T-9", "N", wine="10", proof="19")
    put(world, "storage", "S-1", "T-9", wine="10", proof="19")
    assert lots(world, "T-9") == ["T-9", "N"]
    told = [one.told for one in choices_for(world.premises, "T-9")]
    assert told == ["lot T-9, Spirits", "tank T-9, which holds N, Spirits"]


def test_a_vessel_that_never_held_anything_is_no_code(world):
    with pytest.raises(UnknownCode):
        choices_for(world.premises, "P-2")


@pytest.mark.parametrize(
    ("code", "near"), [("K-15", ["K-150"]), ("k151", ["K-150"]), ("zzzz", []), ("", [])]
)
def test_an_unknown_code_gives_the_near_ones(world, code, near):
    put(world, "storage", "S-1", "K-150", wine="10", proof="19")
    with pytest.raises(UnknownCode) as refused:
        choices_for(world.premises, code)
    assert refused.value.near == near


@pytest.mark.parametrize(
    "code", ["x" * 5000, "'; --", "\x00", "９９", "%", "_", "43R", "999999999"]
)
def test_no_code_breaks_the_search(world, code):
    with pytest.raises(UnknownCode):
        choices_for(world.premises, code)


def test_another_plants_lot_is_not_found_nor_near(world):
    other = make_plant("DSP-XX-00009", "Other Spit (invented)")
    world.premises, mine = other, world.premises
    put(world, "storage", "S-1", "SECRET-1", wine="10", proof="19")
    for code in ("SECRET-1", "SECRET-2"):
        with pytest.raises(UnknownCode) as refused:
            choices_for(mine, code)
        assert not {"SECRET-1"} & set(refused.value.near)
