"""Redistilling inside processing: in and out stay in the account, the run's loss leaves it."""

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Descent, Lot
from tests.distillery.stock import held, moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db


def tank(**facts):
    """100 PG of neutral spirits at 190 proof."""
    world = make_world()
    put(world, "processing", "P-1", "N", wine="52.63", proof="100", name="Neutral spirits", **facts)
    return world


def charge(world, **fields):
    told = {"still": "POT", "sources": [{"vessel": "P-1"}], "water": "80 gal", "formula": "1"}
    return world.record("still-charge-processing", "2026-03-09 08:00", **told | fields)


def out(vessel, volume, proof, **more):
    gauge = {"volume": f"{volume} gal", "temperature": "60 F", "proof": proof}
    return {"vessel": vessel, "what": "spirits", **gauge, **more}


# 27 CFR 30.51: 58.5 gal at 160 proof are 93.60 PG, 4.875 at 80 are 3.90
GIN = out("P-2", "58.5", "160", family="gin", type_code="distilled gin")
FEINTS = out("FEINTS", "4.88", "80", what="feints")


def collect(world, *outputs, **fields):
    return world.record(
        "still-collect-processing", "2026-03-09 17:00", still="POT", outputs=list(outputs), **fields
    )


def test_the_charge_stands_in_the_still_as_a_run():
    world = tank()
    charge(world)
    assert held("POT") == [("processing", "R-2", 13263, 10000)]
    assert moved("processing", "processing", "redistil_in") == (0, 5263, 10000)


def test_gin_and_feints_out_leave_the_loss_of_the_run():
    # 27 CFR 19.602: kind and quantity in and out; 100.0 in, 93.6 + 3.9 out, 2.5 lost
    world = tank()
    charge(world)
    done = collect(world, GIN, FEINTS, ends=True)
    assert held("P-2") == [("processing", "B-3", 5850, 9360)]
    assert held("FEINTS") == [("processing", "F-3", 488, 390)]
    assert moved("processing", "loss", "redistil") == (0, 0, 250)
    assert ("lost", "2.50 PG") in done.plan.slips[-1].result


def test_what_stays_in_the_still_is_residue_without_alcohol():
    world = tank()
    charge(world)
    collect(world, GIN, FEINTS, ends=True)
    assert moved("processing", "residue", "run") == (0, 13263 - 5850 - 488, 0)
    assert held("POT") == []


def test_a_run_gives_more_than_once():
    world = tank()
    charge(world)
    collect(world, GIN)
    assert held("POT") == [("processing", "R-2", 13263 - 5850, 640)]
    collect(world, ends=True, confirm=["fraction-missing"])
    assert moved("processing", "loss", "redistil") == (0, 0, 640)


def test_the_product_is_what_it_is_told_and_comes_from_the_run():
    world = tank()
    charge(world)
    collect(world, GIN)
    lot = Lot.objects.get(code="B-3")
    kind = lot.designation
    assert (kind.class_code, kind.type_code, kind.redistilled) == ("gin", "distilled gin", True)
    assert Descent.objects.filter(parent__code="R-2", child=lot).exists()


def test_the_band_follows_the_gauge_where_no_proof_is_told():
    # TTB F 5110.40: alcohol and spirits divide at 190 proof
    world = tank()
    charge(world)
    collect(world, out("P-2", "50", "191", family="spirits"))
    assert Lot.objects.get(code="B-3").designation.class_code == "spirits_190"


def test_onto_a_heel_the_output_is_a_new_lot_of_both():
    world = tank()
    charge(world)
    put(world, "processing", "P-2", "OLD", wine="10", proof="16", class_code="gin")
    collect(world, GIN)
    assert held("P-2") == [("processing", "B-4", 6850, 10960)]
    assert Descent.objects.filter(parent__code="OLD", child__code="B-4").exists()


def test_more_than_was_charged_is_asked_about():
    world = tank()
    charge(world)
    too_much = out("P-2", "65", "160", family="gin")
    with pytest.raises(Asked, match="more-than-charged"):
        collect(world, too_much)
    collect(world, too_much, confirm=["more-than-charged"])
    assert moved("gain", "processing", "redistil") == (0, 0, 400)


def test_a_missing_fraction_is_asked_about():
    world = tank()
    charge(world)
    with pytest.raises(Asked, match="fraction-missing"):
        collect(world, FEINTS, ends=True)


def test_a_formula_is_asked_for():
    # 27 CFR 19.348(b): approved before gin or vodka is made by redistillation
    with pytest.raises(Asked, match="no-formula"):
        charge(tank(), formula="")


def test_a_strong_charge_is_asked_about():
    # 40 % ABV in the kettle at most: common practice, no source
    with pytest.raises(Asked, match="strong-charge"):
        charge(tank(), water="")


def test_botanicals_are_parents_of_the_run():
    world = tank()
    world.record(
        "receive-material", "2026-03-01 09:00", material="JUNIPER", quantity="5000 g",
        vessel="SHELF", supplier="Dune Herbs (invented)",
    )  # fmt: skip
    charge(world, botanicals=[{"lot": "G-2", "quantity": "900 g"}])
    assert Descent.objects.filter(parent__code="G-2", child__code="R-3").exists()
    assert moved("materials", "mashed", "basket") == (90000, 0, 0)


def test_wine_is_refused():
    with pytest.raises(Refused, match="wine"):
        charge(tank(class_code="wine"))


def test_a_still_in_use_is_refused():
    world = tank()
    charge(world, sources=[{"vessel": "P-1", "volume": "20 gal"}], water="30 gal")
    with pytest.raises(Refused) as refused:
        charge(world)
    assert list(refused.value.errors) == ["still"]


def test_an_empty_still_gives_nothing():
    with pytest.raises(Refused) as refused:
        collect(tank(), GIN)
    assert list(refused.value.errors) == ["still"]


def test_an_output_without_a_gauge_is_refused():
    world = tank()
    charge(world)
    with pytest.raises(Refused, match="Gauge what came out"):
        collect(world, {"vessel": "P-2", "what": "spirits"})
