"""Shipping in bond: sealed barrels as filled, bulk at its gauge."""

from datetime import date

import pytest

from distillery.recording import Refused
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
BOURBON = {"class_code": "whisky", "type_code": "bourbon", "name": "Bourbon"}


def cellar():
    """Two barrels of 10 gal at 118 proof."""
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2", rated=10)
    for code in ("B-1", "B-2"):
        put(
            world, "storage", code, f"26A30-{code}", wine="10", proof="11.8",
            aged_from=date(2026, 1, 30), wood="new", **BOURBON,
        )  # fmt: skip
    return world


def ship(world, *rows, **fields):
    told = {"consignee": "Dune Spirits (invented)", "registry": "DSP-XX-99999"}
    return world.record("ship-in-bond", "2026-10-06 09:00", vessels=list(rows), **told | fields)


def bulk(code, volume, **more):
    gauge = {"volume": f"{volume} gal", "temperature": "60 F", "proof": "190"}
    return {"vessel": code, **gauge, **more}


def test_sealed_barrels_go_at_what_was_filled():
    # 27 CFR 19.405: no weighing when sealed; 2 x 11.8 = 23.6 PG
    done = ship(cellar(), {"vessel": "B-1"}, {"vessel": "B-2"}, sealed=True)
    assert moved("storage", "other_plant", "ship") == (0, 2000, 2360)
    assert done.entry.document == f"TR-{done.entry.number}"


def test_the_transfer_record_tells_account_lot_and_fill():
    # 27 CFR 19.620: account removed from, lot numbers, dates of fill, age in years, months, days
    done = ship(cellar(), {"vessel": "B-1"}, sealed=True)
    assert done.plan.lines[1] == (
        "B-1: 11.80 PG, lot 26A30-B-1, Bourbon, from storage, 118.0 proof, filled 30 Jan 2026, "
        "aged 8 months 6 days."
    )


def test_a_barrel_neither_sealed_nor_weighed_is_refused():
    # 27 CFR 19.405: packages are weighed at shipment otherwise
    with pytest.raises(Refused) as refused:
        ship(cellar(), {"vessel": "B-1"})
    assert list(refused.value.errors) == ["sealed"]


def test_a_weighed_barrel_goes_at_its_weight_and_loses_the_rest():
    # 27 CFR 30.45, 19.289(d): to the tenth of a proof gallon
    ship(cellar(), {"vessel": "B-1", "net": "70 lb", "proof": "118"})
    shipped = moved("storage", "other_plant", "ship")[2]
    assert shipped % 10 == 0
    assert moved("storage", "loss", "dump")[2] == 1180 - shipped


def test_a_part_of_a_tank_goes_at_its_gauge():
    # 27 CFR 30.51: 50 gal at 190 proof are 95.00 PG
    world = make_world()
    put(world, "processing", "P-1", "N", wine="100", proof="190")
    ship(world, bulk("P-1", "50", part="yes"))
    assert held("P-1") == [("processing", "N", 5000, 9500)]
    assert moved("processing", "loss", "empty") == (0, 0, 0)


def test_a_whole_tank_loses_what_the_gauge_lacks():
    # 27 CFR 19.462(a): determined when a tank is emptied
    world = make_world()
    put(world, "storage", "S-1", "N", wine="100", proof="190")
    ship(world, bulk("S-1", "99.9"))
    assert held("S-1") == []
    assert moved("storage", "loss", "empty") == (0, 10, 19)


def test_bulk_without_a_gauge_is_refused():
    # 27 CFR 19.405: bulk is gauged and secured
    world = make_world()
    put(world, "storage", "S-1", "N", wine="100", proof="190")
    with pytest.raises(Refused, match="gauge S-1"):
        ship(world, {"vessel": "S-1"}, sealed=True)


def test_spirits_of_production_may_be_shipped():
    # TTB F 5110.40 line 10: entered for transfer in bond
    world = make_world()
    put(world, "production", "RCV-1", "H", wine="10", proof="13.5", **BOURBON)
    ship(world, bulk("RCV-1", "5", part="yes"))
    assert moved("production", "other_plant", "ship") == (0, 500, 950)


def test_cases_go_in_bond_by_their_labels():
    # 27 CFR 19.286, 19.582(b), 30.52: 24 of 750 mL at 90 proof are 4.755 WG and 4.28 PG
    world = make_world()
    put(
        world, "finished", "STORE", "K-1", wine="9.51", proof="8.56", amount=48, stage="bottled",
        unit="bottle", form="bottled", class_code="gin", bottle_ml=750, per_case=12,
        label_proof=900,
    )  # fmt: skip
    done = ship(world, rows=[{"lot": "K-1", "cases": 2}], container="cases")
    bottles, wine, proof = moved("finished", "other_plant", "ship")
    assert (bottles, proof) == (24, 428)
    assert abs(wine - 475.5) <= 0.5
    assert "2 cases" in done.plan.lines[1]


def test_a_waiver_stands_for_the_weighing():
    # 27 CFR 19.405: packages are weighed unless secured, sealed, or TTB waived it
    assert ship(cellar(), {"vessel": "B-1"}, waiver="letter of 3 May 2026").is_new


def test_the_record_is_signed_with_name_title_and_statement():
    # 27 CFR 19.620(k), 19.45
    signed = {"signer": "Ada", "signer_title": "Owner", "statement": True, "sealed": True}
    done = ship(cellar(), {"vessel": "B-1"}, **signed)
    assert done.plan.lines[-1] == "Signed by Ada, Owner (27 CFR 19.45)."


def test_barrels_that_leave_full_are_told():
    # common practice, no source: a cask sent away full is off the list of casks
    done = ship(cellar(), {"vessel": "B-1"}, {"vessel": "B-2"}, sealed=True)
    told = [line for line in done.plan.lines if "Care for barrels" in line]
    assert len(told) == 1
    assert "B-1, B-2" in told[0]


def test_a_statement_without_a_title_is_refused():
    # 27 CFR 19.45: signature and title
    with pytest.raises(Refused) as refused:
        ship(cellar(), {"vessel": "B-1"}, sealed=True, signer="Ada", statement=True)
    assert list(refused.value.errors) == ["signer_title"]


def test_an_unsigned_record_is_taken_and_says_so():
    # 27 CFR 19.620(k): the paper may carry the signature
    done = ship(cellar(), {"vessel": "B-1"}, sealed=True)
    assert done.plan.lines[-1].startswith("Not signed here")


def test_nothing_shipped_is_refused():
    with pytest.raises(Refused) as refused:
        ship(make_world())
    assert list(refused.value.errors) == ["vessels"]


def test_a_shipment_dated_back_finds_the_barrel_as_it_was():
    world = cellar()
    world.record("lose", "2026-10-07 09:00", vessel="B-2", volume="1 gal", cause="spill")
    ship(world, {"vessel": "B-1"}, sealed=True)
    assert held("B-1") == []
