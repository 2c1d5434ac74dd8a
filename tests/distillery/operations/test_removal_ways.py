"""Removal in bulk, in packages, on the production gauge, and without payment of tax."""

import pytest

from distillery.models import KeptSlip
from distillery.recording import Asked, Refused
from ledger.models import Movement
from ledger.verifying import verify
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_vessel, make_world

pytestmark = pytest.mark.django_db
AT = "2026-03-25 14:00"
# 27 CFR 30.64: 0.12676 wine gallons a pound at 85.5 proof: 700 lb are 88.73 gal; 30.51: 75.86 PG.
WEIGHED = {"net": "700 lb", "proof": "85.5"}
WINE, PROOF = 8873, 7586


def remove(world, document="501", at=AT, **more):
    fields = {
        "consignee": "Harbor Wholesale (invented)", "consignee_address": "9 Quay Street",
        "initials": "ab",
    }  # fmt: skip
    return world.record("remove", at, document=document, **fields | more)


def tank(world, account="processing", vessel="P-1", **facts):
    put(world, account, vessel, "B-9", wine="100", proof="90", **facts)


def asked(world, **more):
    with pytest.raises(Asked) as refused:
        remove(world, **more)
    return [question.code for question in refused.value.plan.questions]


@pytest.mark.parametrize(
    ("account", "vessel"), [("storage", "S-1"), ("processing", "P-1"), ("production", "RCV-1")]
)
def test_bulk_is_taxed_from_each_account_by_weight(account, vessel):
    # 27 CFR 19.226, 19.289(b): by weight
    world = make_world()
    tank(world, account, vessel)
    remove(world, vessel=vessel, gauge=WEIGHED)
    amount, wine, proof = moved(account, "tax_determined", "remove")
    assert (amount, wine) == (0, WINE)
    assert abs(proof - PROOF) <= 1  # the factors have five decimals
    assert held(vessel) == [(account, "B-9", 10000 - wine, 9000 - proof)]


def test_a_withdrawal_on_the_production_gauge_is_marked_so():
    # 27 CFR 19.289(b)
    world = make_world()
    tank(world, "production", "RCV-1")
    done = remove(world, vessel="RCV-1", gauge=WEIGHED)
    assert KeptSlip.of_entry(done.entry)[0].title.startswith("Withdrawal on Production Gauge")


def barrels():
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2", rated=53)
    for code in ("B-1", "B-2"):
        put(world, "storage", code, f"L-{code}", wine="53", proof="63.6", class_code="whisky")
    return world


def weighed(code, gross="430 lb", **more):
    return {"vessel": code, "gross": gross, "tare": "100 lb", "proof": "118", **more}


def test_packages_are_weighed_one_by_one_and_lose_the_rest():
    # 27 CFR 19.226, 19.289(d): each to the tenth
    world = barrels()
    remove(world, packages=[weighed("B-1"), weighed("B-2", "428 lb")])
    rows = Movement.objects.filter(purpose="remove").order_by("pk")
    taken = [row.proof_gallons for row in rows]
    assert len(taken) == 2
    assert [proof % 10 for proof in taken] == [0, 0]
    assert moved("storage", "loss", "dump")[2] == 2 * 6360 - sum(taken)
    assert held("B-1") == []
    assert verify(world.premises).faults == []


def test_a_package_without_a_gauge_is_refused():
    # 27 CFR 19.226
    with pytest.raises(Refused, match="one by one") as refused:
        remove(barrels(), packages=[{"vessel": "B-1"}])
    assert list(refused.value.errors) == ["packages"]


def test_a_package_gauged_by_volume_says_why():
    # 27 CFR 19.284(b)
    row = {"vessel": "B-1", "volume": "50 gal", "temperature": "60 F", "proof": "118"}
    with pytest.raises(Refused, match="mass flow meter") as refused:
        remove(barrels(), packages=[row])
    assert list(refused.value.errors) == ["packages"]
    assert "M-1" not in str(refused.value)


def test_nobody_named_on_the_document_is_asked_about():
    # 27 CFR 19.611: signed or initialled
    world = make_world()
    tank(world)
    fields = {"vessel": "P-1", "gauge": WEIGHED, "initials": ""}
    assert asked(world, **fields) == ["not-initialled"]
    assert remove(world, confirm=["not-initialled"], **fields).is_new


@pytest.mark.parametrize(
    "to", ["export", "us", "hospital", "ftz", "cmw", "cbw", "vessels", "winery"]
)
def test_what_leaves_without_tax_names_its_permit(to):
    # 26 U.S.C. 5214(a); the accounts of 27 CFR 19.590(c)
    world = make_world()
    tank(world)
    fields = {"to": to, "vessel": "P-1", "gauge": WEIGHED, "initials": ""}
    assert asked(world, **fields) == ["no-permit"]
    done = remove(world, permit="P-12", **fields)
    assert moved("processing", to, "remove")[1] == WINE
    assert "leave without tax" in " ".join(done.plan.lines)


def test_new_spirits_do_not_go_straight_into_a_customs_warehouse():
    # 27 CFR 19.585(b) has twelve withdrawals from production, and this is none of them
    world = make_world()
    tank(world, "production", "RCV-1")
    with pytest.raises(Refused) as refused:
        remove(world, to="cbw", permit="P-12", vessel="RCV-1", gauge=WEIGHED)
    assert list(refused.value.errors) == ["to"]


def test_wine_is_not_taxed_as_spirits():
    # 26 U.S.C. 5041
    world = make_world()
    tank(world, "storage", "S-1", stage="wine", class_code="wine")
    with pytest.raises(Refused, match="holds wine"):
        remove(world, vessel="S-1", gauge=WEIGHED)


def test_a_barrel_may_go_to_the_own_tasting_room():
    # 27 CFR 19.622: packages in the taxpaid storeroom
    world = barrels()
    make_vessel(world.premises, "SHOP", "store")
    remove(world, to="taxpaid", shop="SHOP", packages=[weighed("B-1")])
    ((account, lot, _, proof),) = held("SHOP")
    assert (account, lot) == ("taxpaid", "L-B-1")
    assert proof == moved("storage", "taxpaid", "remove")[2]


def test_a_removal_dated_back_finds_the_tank_as_it_was():
    world = make_world()
    tank(world)
    remove(world, vessel="P-1", gauge={"net": "70 lb", "proof": "90"})
    done = remove(world, "500", at="2026-03-24 10:00", vessel="P-1", gauge=WEIGHED)
    assert any(line.startswith("Recorded ") for line in done.plan.lines)  # 27 CFR 19.580(b)
    assert verify(world.premises).faults == []
