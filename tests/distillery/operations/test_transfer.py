"""Moving between tanks: the same lot into an empty one, a new lot onto a heel."""

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Lot
from tests.distillery.stock import held, moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db
DAY = "2026-02-03 10:00"


def stocked(account="storage", **facts):
    world = make_world()
    put(world, account, "S-1", "A", wine="100", proof="190", **facts)
    return world


def transfer(world, **fields):
    return world.record("transfer", DAY, **{"vessel": "S-1", "to": "S-2", **fields})


def gauge(volume, proof="190"):
    return {"volume": f"{volume} gal", "temperature": "60 F", "proof": proof}


def test_all_of_it_keeps_its_lot():
    transfer(stocked(), empties=True)
    assert (held("S-1"), held("S-2")) == ([], [("storage", "A", 10000, 19000)])


def test_what_emptying_does_not_find_is_a_loss():
    # 27 CFR 19.462(a): a tank's loss is determined when it is emptied
    transfer(stocked(), empties=True, gauge=gauge("99.8"))
    assert held("S-2") == [("storage", "A", 9980, 18962)]
    assert moved("storage", "loss", "empty") == (0, 20, 38)


def test_a_part_takes_only_what_was_drawn():
    transfer(stocked(), gauge=gauge("40"))
    assert held("S-1") == [("storage", "A", 6000, 11400)]
    assert moved("storage", "loss", "empty") == (0, 0, 0)


def test_a_volume_moves_at_the_books_strength():
    # 27 CFR 30.51: 25 gal at 190 proof are 47.5 PG
    transfer(stocked(), volume="25 gal")
    assert held("S-2") == [("storage", "A", 2500, 4750)]


def test_onto_a_heel_it_opens_a_new_lot():
    world = stocked()
    put(world, "storage", "S-2", "B", wine="10", proof="19")
    transfer(world, empties=True)
    assert held("S-2") == [("storage", "M-3", 11000, 20900)]


def test_the_age_of_the_new_lot_is_that_of_the_youngest():
    # 27 CFR 19.328
    whisky = {"class_code": "whisky", "state": "XX"}
    world = stocked(aged_new="P2Y", **whisky)
    put(world, "storage", "S-2", "B", wine="10", proof="12", aged_new="P11M2D", **whisky)
    transfer(world, empties=True)
    assert Lot.objects.get(code="M-3").aged_new == "P11M2D"


def test_whisky_of_two_states_is_not_mingled_in_storage():
    # 27 CFR 19.326: domestic spirits under 190 proof of one State only
    world = stocked(class_code="whisky", state="XX")
    put(world, "storage", "S-2", "B", wine="10", proof="12", class_code="whisky", state="YY")
    with pytest.raises(Refused, match="same State") as refused:
        transfer(world, empties=True)
    assert list(refused.value.errors) == ["to"]


def test_bourbon_onto_rye_is_asked_about():
    # 27 CFR 19.326: under 190 proof the same kind only
    world = stocked(class_code="whisky", state="XX", type_code="bourbon")
    put(world, "storage", "S-2", "B", wine="10", proof="12", class_code="whisky", state="XX",
        type_code="rye")  # fmt: skip
    with pytest.raises(Asked, match="mingles-types"):
        transfer(world, empties=True)


def test_two_kinds_in_processing_need_a_name():
    world = stocked("processing")
    put(world, "processing", "S-2", "B", wine="10", proof="12", class_code="gin")
    with pytest.raises(Refused, match="different kinds"):
        transfer(world, empties=True)
    transfer(world, empties=True, family="gin")
    assert Lot.objects.get(code="B-3").designation.class_code == "gin"


def test_the_same_tank_is_refused():
    with pytest.raises(Refused) as refused:
        transfer(stocked(), to="S-1", empties=True)
    assert list(refused.value.errors) == ["to"]


def test_how_much_must_be_said():
    with pytest.raises(Refused) as refused:
        transfer(stocked())
    assert list(refused.value.errors) == ["gauge"]
