"""Blending: batches poured together are a new batch."""

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Lot
from tests.distillery.stock import held, moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db
DAY = "2026-03-20 10:00"


def tanks(**facts):
    world = make_world()
    put(world, "processing", "P-1", "X", wine="50", proof="95", **facts)
    put(world, "processing", "P-2", "Y", wine="30", proof="27", **facts)
    return world


def blend(world, *parts, into="BT-1", **fields):
    return world.record("blend", DAY, parts=list(parts), into=into, **fields)


def gauge(volume, proof):
    return {"volume": f"{volume} gal", "temperature": "60 F", "proof": proof}


def test_two_tanks_make_a_new_batch():
    blend(tanks(), {"vessel": "P-1"}, {"vessel": "P-2"})
    assert held("BT-1") == [("processing", "B-3", 8000, 12200)]


def test_a_volume_leaves_the_rest_in_its_tank():
    # 27 CFR 30.51: 10 gal at 190 proof are 19.00 PG
    world = tanks()
    blend(world, {"vessel": "P-1", "volume": "10 gal"}, into="P-2")
    assert held("P-1") == [("processing", "X", 4000, 7600)]
    assert held("P-2") == [("processing", "B-3", 4000, 4600)]


def test_what_shrinks_without_loss_is_contraction():
    # mixed spirits fill less than their parts; proof gallons stay (27 CFR 30.66 allows for it)
    blend(tanks(), {"vessel": "P-1"}, {"vessel": "P-2"}, gauge=gauge("79.74", "153"))
    assert moved("processing", "contraction", "reduce") == (0, 26, 0)


def test_proof_gallons_missing_are_a_loss():
    # 27 CFR 19.283: gauged when mixed; 79.5 gal at 153 proof are 121.64 PG (27 CFR 30.51)
    blend(tanks(), {"vessel": "P-1"}, {"vessel": "P-2"}, gauge=gauge("79.5", "153"))
    assert moved("processing", "loss", "mingle") == (0, 50, 36)


def test_a_gauge_above_the_sum_is_asked_about():
    with pytest.raises(Asked, match="gauge-gain"):
        blend(tanks(), {"vessel": "P-1"}, {"vessel": "P-2"}, gauge=gauge("80", "153"))


def test_wine_is_refused():
    world = make_world()
    put(world, "processing", "P-1", "X", wine="50", proof="10", class_code="wine")
    put(world, "processing", "P-2", "Y", wine="30", proof="27")
    with pytest.raises(Refused, match="wine"):
        blend(world, {"vessel": "P-1"}, {"vessel": "P-2"})


def test_the_batch_has_the_kind_it_is_told():
    world = tanks()
    blend(world, {"vessel": "P-1"}, {"vessel": "P-2"}, family="vodka", name="Point vodka")
    lot = Lot.objects.get(code="B-3")
    assert (lot.designation.class_code, lot.name) == ("vodka", "Point vodka")


def test_one_tank_into_an_empty_one_is_a_move():
    with pytest.raises(Refused, match="record a move"):
        blend(tanks(), {"vessel": "P-1"})


def test_the_blending_tank_is_not_named_as_a_part():
    with pytest.raises(Refused) as refused:
        blend(tanks(), {"vessel": "P-1"}, {"vessel": "P-2"}, into="P-2")
    assert list(refused.value.errors) == ["parts"]
