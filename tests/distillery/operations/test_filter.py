"""Filtering: the gauge afterwards, and the loss in the filter."""

import pytest

from distillery.recording import Asked, Refused
from tests.distillery.stock import held, moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db


def tank():
    world = make_world()
    put(world, "processing", "P-1", "X", wine="100", proof="90")
    return world


def filtered(world, volume, **fields):
    gauge = {"volume": f"{volume} gal", "temperature": "60 F", "proof": "90"}
    return world.record("filter", "2026-03-20 10:00", vessel="P-1", gauge=gauge, **fields)


def test_what_stays_in_the_filter_is_a_loss_of_processing():
    # 27 CFR 19.283, 30.51: 99.5 gal at 90 proof are 89.55 PG
    filtered(tank(), "99.5")
    assert held("P-1") == [("processing", "X", 9950, 8955)]
    assert moved("processing", "loss", "filter") == (0, 50, 45)


def test_the_lot_stays_the_same_in_another_tank():
    filtered(tank(), "99.5", to="BT-1")
    assert (held("P-1"), held("BT-1")) == ([], [("processing", "X", 9950, 8955)])


def test_an_occupied_tank_is_refused():
    world = tank()
    put(world, "processing", "P-2", "Y", wine="1", proof="1")
    with pytest.raises(Refused) as refused:
        filtered(world, "99.5", to="P-2")
    assert list(refused.value.errors) == ["to"]


def test_more_than_before_is_asked_about():
    with pytest.raises(Asked, match="gauge-gain"):
        filtered(tank(), "101")


def test_no_difference_is_an_act_all_the_same():
    done = filtered(tank(), "100")
    assert done.entry.movements.count() == 0


@pytest.mark.parametrize(
    ("charcoal", "words"),
    [("1 oz", "1.00 oz to 100 gallons: vodka may say"), ("0.9 oz", "may not say")],
)
def test_charcoal_is_told_by_the_hundred_gallons(charcoal, words):
    # 27 CFR 5.142(b)(1): one ounce of carbon to 100 wine gallons
    done = filtered(tank(), "99.5", charcoal=charcoal)
    assert words in done.plan.lines[1]


@pytest.mark.parametrize(
    ("removed", "asks"),
    [({"removed_pct": "15"}, False), ({"removed_pct": "15.1"}, True),
     ({"color_removed_pct": "25"}, False), ({"color_removed_pct": "25.5"}, True)],
)  # fmt: skip
def test_a_straight_whisky_stripped_bare_wants_a_formula(removed, asks):
    # 27 CFR 5.193(c): over 15 % of acids, esters, solids, or over 25 % of soluble color
    world = make_world()
    facts = {"class_code": "whisky", "type_code": "straight bourbon"}
    put(world, "processing", "P-1", "X", wine="100", proof="90", **facts)
    if asks:
        with pytest.raises(Asked, match=r"5\.193\(c\)"):
            filtered(world, "99.5", **removed)
    assert filtered(world, "99.5", formula="4" if asks else "", **removed).is_new
