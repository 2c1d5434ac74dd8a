"""Destruction: gauged first, out of every account of spirits, with its whole record."""

import pytest

from distillery.recording import Asked, Refused
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
AT = "2026-05-06 15:30"
BOTTLES = {
    "stage": "bottled", "unit": "bottle", "class_code": "gin", "form": "bottled",
    "bottle_ml": 750, "per_case": 12, "label_proof": 900, "product": "GIN-750",
}  # fmt: skip
HOW = {
    "place": "yard drain of the plant", "manner": "poured out with water", "person": "Ada Dune",
    "person_title": "head distiller",
}  # fmt: skip


@pytest.fixture
def world():
    made = make_world()
    make_barrels(made.premises, "B-1", rated=15)
    put(made, "processing", "P-1", "BATCH", wine="50", proof="40", class_code="gin")
    put(made, "storage", "B-1", "26A30", wine="10", proof="11.80", class_code="whisky")
    put(made, "finished", "STORE", "K", wine="23.78", proof="21.40", amount=120, **BOTTLES)
    return made


def destroy(world, at=AT, **fields):
    return world.record("destroy", at, **{**HOW, **fields})


def tank(code="P-1", volume="50", proof="80", **more):
    return {"vessel": code, "volume": f"{volume} gal", "temperature": "60 F", "proof": proof,
            **more}  # fmt: skip


def test_a_tank_is_destroyed_at_its_gauge(world):
    # 27 CFR 19.459, 30.51: 49.5 gal at 80 proof are 39.60 PG; the book's 40.00 lose 0.40 beside it
    destroy(world, vessels=[tank(volume="49.5")])
    assert moved("processing", "destroyed", "destroy") == (0, 4950, 3960)
    assert moved("processing", "loss", "empty") == (0, 50, 40)
    assert held("P-1") == []


def test_a_part_leaves_the_rest_in_the_tank(world):
    destroy(world, vessels=[tank(volume="10", part=True)])
    assert held("P-1") == [("processing", "BATCH", 4000, 3200)]


@pytest.mark.parametrize(
    ("account", "vessel"), [("production", "RCV-1"), ("redistil", "NS"), ("storage", "S-1")]
)
def test_every_account_of_spirits_can_lose_them_so(world, account, vessel):
    # 27 CFR 19.459: spirits in bond; TTB F 5110.11 line 20, 5110.28 lines 19 and 39
    put(world, account, vessel, "X", wine="10", proof="10")
    destroy(world, vessels=[tank(vessel, volume="10", proof="100")])
    assert moved(account, "destroyed", "destroy") == (0, 1000, 1000)


def test_a_barrel_is_weighed_to_the_tenth(world):
    # 27 CFR 19.284(a), 19.289(d)
    destroy(world, vessels=[{"vessel": "B-1", "net": "70 lb", "proof": "118"}])
    proof = moved("storage", "destroyed", "destroy")[2]
    assert proof % 10 == 0
    assert moved("storage", "loss", "dump")[2] == 1180 - proof


def test_bottles_are_counted_one_by_one(world):
    # 27 CFR 19.459: partial cases bottle by bottle; 14 of 120 at 21.40 PG are 2.50
    destroy(world, bottles=[{"lot": "K", "cases": 1, "bottles": 2}])
    assert moved("finished", "destroyed", "destroy") == (14, 277, 250)


def test_the_record_holds_all_that_its_section_lists(world):
    # 27 CFR 19.617
    done = destroy(
        world, vessels=[tank()], bottles=[{"lot": "K", "bottles": 5}], was_withdrawn=True
    )
    assert done.entry.document == f"DR-{done.entry.number}"
    record = next(slip for slip in done.plan.slips if slip.title == "Destruction")
    told = dict(record.readings)
    assert told["date and time"] == "2026-05-06 15:30"
    assert told["place"] == "yard drain of the plant"
    assert told["manner"] == "poured out with water"
    assert told["withdrawn before and returned"] == "yes"
    assert told["destroyed or supervised by"] == "Ada Dune, head distiller"
    assert ("container", "P-1, tank") in record.readings
    assert "Marram Point" in told["producer or processor"]
    assert [slip.title for slip in done.plan.slips] == ["P-1", "Destruction"]


def test_what_was_not_gauged_is_asked_about_and_then_kept(world):
    # 27 CFR 19.461(b): tax is due on spirits not destroyed by the rule
    with pytest.raises(Asked, match=r"19\.461\(b\)"):
        destroy(world, vessels=[{"vessel": "P-1"}])
    destroy(world, vessels=[{"vessel": "P-1"}], confirm=["destroyed-ungauged"])
    assert moved("processing", "destroyed", "destroy") == (0, 5000, 4000)


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({}, "vessels"),
        ({"vessels": [{"vessel": "P-1", "part": True}]}, "vessels"),
        ({"vessels": [tank(), tank()]}, "vessels"),
        ({"vessels": [tank("P-2")]}, "vessels"),
        ({"vessels": [tank()], "person": ""}, "person"),
        ({"vessels": [tank()], "manner": ""}, "manner"),
    ],
)
def test_what_is_missing_is_told_beside_it(world, fields, field):
    with pytest.raises(Refused) as refused:
        destroy(world, **fields)
    assert list(refused.value.errors) == [field]


def test_more_than_the_book_has_is_a_gain_once_confirmed(world):
    with pytest.raises(Asked, match="gauge-gain"):
        destroy(world, vessels=[tank(volume="51")])
    destroy(world, vessels=[tank(volume="51")], confirm=["gauge-gain"])
    assert moved("gain", "processing", "empty") == (0, 100, 80)


def test_a_destruction_dated_back_is_refused_below_nothing(world):
    destroy(world, vessels=[tank(volume="30", part=True)])
    with pytest.raises(Asked, match="found-more"):
        destroy(world, "2026-04-01 09:00", vessels=[tank(volume="30", part=True)])
    assert destroy(world, "2026-04-01 09:00", vessels=[tank(volume="20", part=True)]).is_new
