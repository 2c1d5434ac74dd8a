"""Losses by cause: what each takes from its account, and on which tax is due."""

import pytest

from distillery.models import Material
from distillery.recording import Asked, Refused
from ledger.models import Holding, Movement
from ledger.models.book import LIVE
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
AT = "2026-02-06 09:00"
BOTTLES = {
    "stage": "bottled", "unit": "bottle", "class_code": "gin", "form": "bottled",
    "bottle_ml": 750, "per_case": 12, "label_proof": 900, "product": "GIN-750",
}  # fmt: skip


@pytest.fixture
def world():
    """A hundred gallons at 100 proof in processing, a barrel in storage, bottles in the store."""
    made = make_world()
    make_barrels(made.premises, "B-1", rated=15)
    put(made, "processing", "P-1", "BATCH", wine="100", proof="100", class_code="gin")
    put(made, "storage", "B-1", "26A30", wine="10", proof="11.80", class_code="whisky")
    put(made, "finished", "STORE", "K", wine="23.78", proof="21.40", amount=120, **BOTTLES)
    return made


def lose(world, vessel="P-1", at=AT, **fields):
    return world.record("lose", at, vessel=vessel, **{"cause": "spill", **fields})


def taxed():
    return list(Movement.objects.filter(to_account="loss").values_list("taxed", flat=True))


def gauge(volume, proof="100"):
    return {"volume": f"{volume} gal", "temperature": "60 F", "proof": proof}


def test_a_spill_leaves_at_book_strength(world):
    lose(world, volume="2.5 gal")
    left = Holding.objects.get(LIVE, vessel__code="P-1")
    assert (left.wine_gallons, left.proof_gallons) == (9750, 9750)
    assert taxed() == [False]


@pytest.mark.parametrize(
    "cause", ["spill", "leak", "accident", "breakage", "fill", "filter", "rinse"]
)
def test_each_cause_is_its_own_purpose(world, cause):
    # 27 CFR 19.462(a): losses are told by what caused them
    lose(world, cause=cause, volume="1 gal")
    assert moved("processing", "loss", cause) == (0, 100, 100)


def test_a_leaking_barrel_is_gauged_for_what_is_left(world):
    # 27 CFR 19.462(a), 30.51: 8 gal at 118 proof are 9.44 PG of 11.80
    left = {"net": "63.36 lb", "proof": "118"}
    done = lose(world, "B-1", cause="leak", gauge=left)
    ((_, _, wine, proof),) = held("B-1")
    assert moved("storage", "loss", "leak") == (0, 1000 - wine, 1180 - proof)
    assert [slip.title for slip in done.plan.slips] == ["Gauge of what is left"]


def test_a_whole_barrel_is_lost_at_once(world):
    lose(world, "B-1", cause="accident", everything=True)
    assert held("B-1") == []
    assert moved("storage", "loss", "accident") == (0, 1000, 1180)


def test_theft_is_asked_about_until_it_is_told_how_it_was_reported(world):
    # 27 CFR 19.463: reported to TTB
    with pytest.raises(Asked, match=r"19\.463"):
        lose(world, cause="theft", volume="5 gal")
    assert lose(world, cause="theft", volume="5 gal", reported="by letter, that day").is_new


def test_theft_is_taxed_unless_excused(world):
    # 27 CFR 19.461(b): tax is due on unexcused theft
    lose(world, cause="theft", volume="5 gal", reported="by letter")
    done = lose(
        world, at="2026-02-06 10:00", cause="theft", volume="1 gal", reported="by letter",
        excused="claim filed, police report 7",
    )  # fmt: skip
    assert taxed() == [True, False]
    assert "No tax: claim filed, police report 7." in done.plan.lines


def test_a_missing_package_is_taxed_unless_claimed_for(world):
    # 27 CFR 19.462(c): missing packages are told to TTB; tax is paid or a claim filed
    lose(world, "B-1", cause="missing", everything=True, reported="by letter")
    assert taxed() == [True]


def test_missing_bottles_are_a_shortage(world):
    # 27 CFR 19.465; 1 of 120 bottles at 21.40 PG is 0.18
    lose(world, "STORE", cause="missing", bottles=1, reported="by letter")
    assert moved("finished", "shortage", "count") == (1, 20, 18)


def test_bottles_broken_after_casing_are_a_recorded_loss(world):
    # TTB F 5110.28 line 44
    lose(world, "STORE", cause="breakage", bottles=12)
    assert moved("finished", "loss", "breakage") == (12, 238, 214)
    assert taxed() == [False]


def test_a_gauge_above_the_book_is_a_gain_once_confirmed(world):
    with pytest.raises(Asked, match="gauge-gain"):
        lose(world, cause="leak", gauge=gauge("100.5"))
    done = lose(world, cause="leak", gauge=gauge("100.5"), confirm=["gauge-gain"])
    assert moved("gain", "processing", "leak") == (0, 50, 50)
    assert held("P-1") == [("processing", "BATCH", 10050, 10050)]
    assert "0.50 PG more" in done.plan.lines[0]


def test_a_gauge_that_agrees_moves_nothing(world):
    done = lose(world, cause="leak", gauge=gauge("100"))
    assert done.plan.legs == ()


def test_a_lost_flavoring_takes_its_alcohol_along(world):
    # 27 CFR 19.581(f): half of 4 gal at 50 proof is 1.00 PG
    Material.objects.create(
        premises=world.premises, code="ESS", name="Essence", kind="other", unit="gal"
    )
    world.record(
        "receive-material", "2026-01-05 09:00", material="ESS", quantity="4 gal", proof="50",
        vessel="SHELF", supplier="Dune Grain (invented)", lot="ESS-1",
    )  # fmt: skip
    lose(world, "SHELF", cause="spill", amount="2 gal")
    assert moved("materials", "loss", "count") == (200, 200, 100)


@pytest.mark.parametrize(
    ("vessel", "given", "field"),
    [
        ("P-1", {"volume": "1 gal", "everything": True}, "whole"),
        ("P-1", {"amount": "3 lb"}, "amount"),
        ("STORE", {"volume": "1 gal"}, "bottles"),
        ("STORE", {"gauge": gauge("3")}, "gauge"),
        ("P-2", {"volume": "1 gal"}, "vessel"),
        ("P-1", {"volume": "1 gal", "cause": "theft", "excused": "x", "taxed": True}, "excused"),
    ],
)
def test_what_does_not_fit_is_told_beside_it(world, vessel, given, field):
    with pytest.raises(Refused) as refused:
        lose(world, vessel, **given)
    found = list(refused.value.errors)
    assert found == [field] or (field == "whole" and len(found) == 1)


def test_a_loss_dated_back_stands_at_its_own_moment(world):
    lose(world, volume="1 gal", at="2026-02-06 09:00")
    done = lose(world, volume="2 gal", at="2026-01-20 09:00")
    assert done.entry.happened_at == world.when("2026-01-20 09:00")
    assert held("P-1")[0][2] == 9700
