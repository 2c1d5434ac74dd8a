"""Barrels: the lot number of packages, new and used wood, the average content."""

from datetime import date
from decimal import Decimal

import pytest

from distillery.barrels import (
    cooperage_for,
    fill,
    fill_legs,
    fill_slip,
    filled_total,
    package_lot_code,
)
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Vessel
from ledger.plan import Place
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db


def look_at(world, when="2026-01-30 12:00"):
    return Look(world.premises, world.when(when))


def rows(*codes, **more):
    empty = dict.fromkeys(("gross", "tare", "net", "volume"))
    return [{**empty, "barrel": Vessel.objects.get(code=code), **more} for code in codes]


def test_a_package_lot_is_named_for_its_day():
    # 27 CFR 19.485: year, month as a letter from A, day
    look = look_at(make_world())
    assert package_lot_code(look, date(2026, 1, 30)) == "26A30"
    assert package_lot_code(look, date(2026, 12, 5)) == "26L05"


def test_the_second_lot_of_a_day_gets_a_suffix():
    # 27 CFR 19.485: the second lot of a day is suffixed A, the third B
    look, day = look_at(make_world()), date(2026, 1, 30)
    assert package_lot_code(look, day, taken=["26A30"]) == "26A30A"
    assert package_lot_code(look, day, taken=["26A30", "26A30A"]) == "26A30B"


def test_a_reused_cask_is_never_new():
    # 27 CFR 19.618: R is reused cooperage
    world = make_world()
    make_barrels(world.premises, "B-1", cooperage="R")
    make_barrels(world.premises, "B-2", was_filled_before=True)
    make_barrels(world.premises, "B-3")
    wood = [cooperage_for(look_at(world), row["barrel"]) for row in rows("B-1", "B-2", "B-3")]
    assert wood == ["used", "used", "new"]


def test_barrels_not_weighed_hold_the_average():
    # 27 CFR 19.289(c), (d): average content x number; 10 gal of 118 proof are 11.8 each
    world = make_world()
    codes = [f"B-{n}" for n in range(1, 13)]
    make_barrels(world.premises, *codes, rated=10)
    filled = fill(look_at(world), rows(*codes), proof=Decimal(118), wine=12000)
    assert filled_total(filled) == (12000, 14160)
    assert {one.lot for one in filled} == {"26A30"}


def test_a_weighed_barrel_holds_its_net_weight():
    # TTB Table 4 by computation: 115.5 lb at 125 proof; a 15 gal cask of about 165 lb full
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2")
    row = rows("B-1", gross=Decimal("165.5"), tare=Decimal(50)) + rows("B-2")
    weighed, other = fill(look_at(world), row, proof=Decimal(125), wine=3020)
    assert weighed.gauge.method == "package"
    assert weighed.gauge.wine_gallons + other.gauge.wine_gallons == Decimal("30.20")


def test_barrels_of_two_sizes_are_two_lots():
    # 27 CFR 19.485: packages of a lot have the same rated capacity
    world = make_world()
    make_barrels(world.premises, "B-1", rated=10)
    make_barrels(world.premises, "B-2", rated=15)
    filled = fill(look_at(world), rows("B-1", "B-2"), proof=Decimal(118), wine=2000)
    assert [one.lot for one in filled] == ["26A30", "26A30A"]


def test_a_barrel_named_twice_is_refused():
    world = make_world()
    make_barrels(world.premises, "B-1")
    with pytest.raises(BadFact, match="twice"):
        fill(look_at(world), rows("B-1", "B-1"), proof=Decimal(118), wine=2000)


def test_the_entry_proof_stays_on_the_movement():
    # 27 CFR 19.618: a gauge record tells the entry proof of whisky
    world = make_world()
    make_barrels(world.premises, "B-1")
    filled = fill(look_at(world), rows("B-1"), proof=Decimal("124.5"), wine=1500)
    origin = Place("storage", "S-1", "S-1")
    (leg,) = fill_legs(filled, origin=origin, account="storage", purpose="fill")
    assert (leg.proof, leg.cooperage, leg.wine_gallons) == (1245, "new", 1500)


def test_the_slip_follows_each_weighed_barrel():
    """A person with the manual follows every barrel by hand, and like ones once."""
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2", "B-3")
    weighed = [
        {**rows("B-1")[0], "gross": Decimal("165.5"), "tare": Decimal(50)},
        {**rows("B-2")[0], "gross": Decimal("164.0"), "tare": Decimal(50)},
    ]
    steps = fill_slip(fill(look_at(world), weighed, proof=Decimal(118), wine=3000)).steps
    assert {step.split(":")[0] for step in steps} == {"B-1", "B-2"}
    like = fill(look_at(world), rows("B-1", "B-2"), proof=Decimal(118), wine=2900)
    assert not any(step.startswith("B-") for step in fill_slip(like).steps)


@pytest.mark.parametrize(("rated", "net"), [(15, "= 115.5 lb net"), (8, "= 115.40 lb net")])
def test_a_package_is_weighed_as_the_law_records_it(rated, net):
    """27 CFR 30.44: half pounds above 10 gallons of capacity, hundredths up to it."""
    world = make_world()
    make_barrels(world.premises, "B-1", rated=rated)
    row = {**rows("B-1")[0], "gross": Decimal("165.40"), "tare": Decimal("50.00")}
    (filled,) = fill(look_at(world), [row], proof=Decimal(118), wine=1600)
    assert any(net in step for step in filled.gauge.steps)
