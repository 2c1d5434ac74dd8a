"""Receiving in bond: at our gauge, the difference in transit outside the account."""

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Descent, Lot
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
DAY = "2026-02-03 10:00"


def gauge(volume, proof="190"):
    return {"volume": f"{volume} gal", "temperature": "60 F", "proof": proof}


def receive(world, volume="115.58", **more):
    fields = {
        "consignor": "Dune Spirits (invented)", "registry": "DSP-XX-99999", "document": "TR-17",
        "consigned_gallons": "115.79 gal", "consigned": "220.0 PG", "seals": "intact",
        "account": "storage", "vessel": "S-2", "gauge": gauge(volume), "family": "spirits",
        "distilled_at": "190",
    }  # fmt: skip
    fields |= more
    fields = {name: value for name, value in fields.items() if value is not None}
    return world.record("receive-in-bond", DAY, **fields)


def test_it_is_received_at_our_gauge():
    # 27 CFR 19.621: 115.58 WG at 190 proof are 219.60 PG (27 CFR 30.51)
    world = make_world()
    done = receive(world)
    assert held("S-2") == [("storage", "N-1", 11558, 21960)]
    assert done.entry.document == "TR-17"


def test_the_loss_in_transit_is_in_no_account():
    # 27 CFR 19.462(d): 0.4 of 220.0 is 0.18 %, under 1 %
    world = make_world()
    done = receive(world)
    assert moved("other_plant", "loss", "transit") == (0, 21, 40)
    assert "0.18 %" in " ".join(done.plan.lines)


def test_more_than_one_percent_is_asked_about():
    # 27 CFR 19.462(d): 217.76 of 220.0 is 1.02 % less
    world = make_world()
    with pytest.raises(Asked) as asked:
        receive(world, "114.61")
    assert [question.code for question in asked.value.plan.questions] == ["transit-loss-over-1"]


def test_a_gain_in_transit_comes_before_the_receipt():
    # 27 CFR 19.621: the receiver's half tells loss or gain
    world = make_world()
    receive(world, "116")
    assert moved("gain", "other_plant", "transit") == (0, 21, 40)


def test_onto_a_heel_a_new_lot_has_both_as_parents():
    # 27 CFR 19.326: spirits of 190 proof and over are mingled freely
    world = make_world()
    put(world, "storage", "S-2", "OLD", wine="10", proof="19")
    receive(world)
    assert held("S-2") == [("storage", "M-2", 12558, 23860)]
    rows = Descent.objects.filter(child__code="M-2").values_list("parent__code", flat=True)
    assert set(rows) == {"OLD", "N-2"}


def test_another_kind_in_the_tank_is_refused():
    # 27 CFR 19.326: different kinds are not mingled in storage
    world = make_world()
    put(world, "storage", "S-2", "OLD", wine="10", proof="12", class_code="whisky")
    with pytest.raises(Refused, match="not mingled") as refused:
        receive(world)
    assert list(refused.value.errors) == ["vessel"]


def test_sealed_barrels_come_at_the_consignors_figures():
    # 27 CFR 19.621: sealed packages need no weighing on receipt
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2")
    rows = [{"barrel": code, "wine_gallons": "10", "proof_gallons": "11.8"} for code in
            ("B-1", "B-2")]  # fmt: skip
    receive(
        world, vessel=None, gauge=None, barrels=rows, consigned="23.6", consigned_gallons=None,
        family="whisky", type_code="bourbon", distilled_at="135",
    )  # fmt: skip
    assert held("B-2") == [("storage", "N-1", 1000, 1180)]


def test_whisky_needs_its_distillation_proof_or_band():
    # TTB F 5110.40: whisky has a column to 160 proof and one above
    world = make_world()
    with pytest.raises(Refused, match="distillation proof"):
        receive(world, family="whisky", distilled_at=None)
    receive(world, family="whisky", distilled_at=None, band="high")
    assert Lot.objects.get(code="N-1").designation.class_code == "whisky_over_160"


def test_broken_seals_are_asked_about():
    # 27 CFR 19.407: TTB is told of broken seals before unloading
    with pytest.raises(Asked, match="seals-broken"):
        receive(make_world(), seals="broken")


def test_a_tank_in_another_account_is_refused():
    world = make_world()
    put(world, "processing", "S-2", "OLD", wine="10", proof="19")
    with pytest.raises(Refused, match="empty vessel"):
        receive(world)


def sealed(world, **more):
    row = {"barrel": "B-1", "wine_gallons": "10", "proof_gallons": "11.8"}
    told = {
        "family": "whisky", "type_code": "bourbon", "distilled_at": "135", "barrels": [row],
        "vessel": None, "gauge": None, "consigned": "11.8", "consigned_gallons": None,
    }  # fmt: skip
    return receive(world, **told | more)


def test_barrels_go_on_ageing_from_the_day_they_were_filled():
    # 27 CFR 5.1: age is time in oak, at whichever plant
    world = make_world()
    make_barrels(world.premises, "B-1")
    sealed(world, aged_from="2024-02-03", aged_other="6 months")
    lot = Lot.objects.get(code="N-1")
    assert (lot.wood, lot.aged_from.isoformat(), lot.aged_other) == ("new", "2024-02-03", "P6M")


def test_a_tank_comes_with_an_age_that_stands_still():
    # 27 CFR 19.592(d)(5): the age of the youngest, in years, months and days, at each deposit
    world = make_world()
    receive(world, aged_new="2 years 3 months 14 days")
    lot = Lot.objects.get(code="N-1")
    assert (lot.wood, lot.aged_from, lot.aged_new) == ("", None, "P2Y3M14D")


def test_spirits_in_a_tank_are_not_in_wood():
    with pytest.raises(Refused, match="only in wood") as refused:
        receive(make_world(), aged_from="2024-02-03")
    assert list(refused.value.errors) == ["aged_from"]


def test_a_day_in_wood_that_has_not_come_is_refused():
    world = make_world()
    make_barrels(world.premises, "B-1")
    with pytest.raises(Refused, match="not come"):
        sealed(world, aged_from="2026-03-03")


def test_new_and_used_wood_come_as_two_lots():
    world = make_world()
    make_barrels(world.premises, "B-1")
    make_barrels(world.premises, "B-2", cooperage="R")
    rows = [{"barrel": code, "wine_gallons": "10", "proof_gallons": "11.8"} for code in
            ("B-1", "B-2")]  # fmt: skip
    with pytest.raises(Refused, match="its lot"):
        sealed(world, barrels=rows, consigned="23.6")
