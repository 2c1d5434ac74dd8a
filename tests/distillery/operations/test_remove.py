"""Removal on determination of tax: documents, bottles, bulk, and the plant's own shop."""

from datetime import timedelta
from typing import Any

import pytest

from distillery.recording import Asked, Refused
from distillery.removals import lateness
from ledger.models import Holding, Lot, Movement
from ledger.plan import Leg, Place, Plan
from ledger.posting import record
from ledger.verifying import verify
from ledger.writing import Act
from tests.distillery.stock import put
from tests.world import make_vessel, make_world

pytestmark = pytest.mark.django_db
AT = "2026-03-25 14:00"
GIN: dict[str, Any] = {
    "stage": "bottled", "unit": "bottle", "form": "bottled", "class_code": "gin",
    "name": "Point gin", "product": "GIN-750", "bottle_ml": 750, "per_case": 12, "label_proof": 900,
}  # fmt: skip


@pytest.fixture
def world():
    """521 bottles of 750 mL at 90 proof: 103.23 WG and 92.90 PG (27 CFR 19.582, 30.52)."""
    world = make_world()
    put(world, "finished", "STORE", "K-1", wine="103.23", proof="92.90", amount=521, **GIN)
    return world


def remove(world, document="501", at=AT, **more):
    fields = {
        "consignee": "Harbor Wholesale (invented)", "consignee_state": "XX", "initials": "ab",
        **more,
    }  # fmt: skip
    return world.record("remove", at, document=document, **fields)


def cases(count, **more):
    return [{"lot": "K-1", "cases": count, **more}]


def removed():
    rows = Movement.objects.filter(purpose="remove").order_by("pk")
    return [(r.to_account, r.amount, r.wine_gallons, r.proof_gallons) for r in rows]


def test_thirty_cases_are_64_2_proof_gallons(world):
    # 27 CFR 19.582, 30.52: 270 L x 0.264172 x 90 / 100 = 64.19, to the tenth 64.2 (19.612(a)).
    done = remove(world, rows=cases(30))
    (to, bottles, _, proof), *more = removed()
    assert (to, bottles, more) == ("tax_determined", 360, [])
    assert round(proof / 100, 1) == 64.2
    assert done.entry.document == "501"


def test_bottles_go_beside_cases_and_rows_of_a_lot_count_together(world):
    remove(world, rows=[{"lot": "K-1", "cases": 1}, {"lot": "K-1", "bottles": 2}])
    assert [row[1] for row in removed()] == [14]


def test_the_last_bottle_takes_what_is_left(world):
    remove(world, rows=cases(43))
    remove(world, "502", rows=[{"lot": "K-1", "bottles": 5}])
    held = Holding.objects.get(account="finished")
    assert (held.amount, held.wine_gallons, held.proof_gallons) == (0, 0, 0)


def test_the_rate_mark_travels_with_the_lot(world):
    # 26 U.S.C. 5001(c): the reduced rates are not for every spirit.
    put(
        world, "finished", "STORE", "K-2", wine="2.38", proof="2.14", amount=12,
        **{**GIN, "reduced_rate": False},
    )  # fmt: skip
    remove(world, rows=[{"lot": "K-2", "cases": 1}])
    row = Movement.objects.get(purpose="remove")
    assert row.from_designation.reduced_rate is False


def test_one_document_is_one_withdrawal(world):
    # 27 CFR 19.611
    remove(world, rows=cases(1))
    with pytest.raises(Refused, match=r"Document 501 is already removal entry 2") as refused:
        remove(world, at="2026-03-26 10:00", rows=cases(2))
    assert list(refused.value.errors) == ["document"]


def test_a_document_whose_removal_was_taken_back_is_free_again(world):
    done = remove(world, rows=cases(1))
    world.record("reverse", "2026-03-25 15:00", entry=done.entry.number, reason="cancelled")
    assert remove(world, at="2026-03-25 16:00", rows=cases(2)).is_new


def test_the_same_record_twice_is_one_removal(world):
    first = remove(world, rows=cases(1), key="tablet-7")
    assert remove(world, rows=cases(1), key="tablet-7").entry == first.entry
    assert len(removed()) == 1


def test_the_own_tasting_room_is_determined_and_kept_as_taxpaid(world):
    # 27 CFR 19.54, 19.622: what is sold at the shop leaves bond first.
    make_vessel(world.premises, "SHOP", "store")
    remove(world, "502", to="taxpaid", consignee="", shop="SHOP", rows=cases(1))
    held = Holding.objects.get(account="taxpaid")
    assert (held.vessel.code, held.amount, held.proof_gallons) == ("SHOP", 12, 214)


def test_the_own_shop_needs_its_store(world):
    with pytest.raises(Refused, match="shop: Name the store"):
        remove(world, to="taxpaid", rows=cases(1))


def test_more_than_the_store_has_is_a_gain_once_confirmed(world):
    with pytest.raises(Asked, match="found-more"):
        remove(world, rows=cases(44))
    remove(world, rows=cases(44), confirm=["found-more"])
    gain = Movement.objects.get(from_account="gain")
    # seven more bottles by their label: 7 x 0.75 x 0.264172 = 1.39 WG, 1.25 PG (27 CFR 19.582)
    assert (gain.amount, gain.wine_gallons, gain.proof_gallons) == (7, 139, 125)


def test_a_lot_in_two_stores_wants_its_store(world):
    make_vessel(world.premises, "STORE-2", "store")
    leg = Leg(
        Place("finished", "K-1", "STORE"), Place("finished", "K-1", "STORE-2"), "move", 12, 238, 214
    )
    act = Act("move", world.when("2026-03-24 09:00"), "ada", "move", "{}")
    record(lambda look: Plan((leg,)), premises=world.premises, act=act)
    with pytest.raises(Refused, match=r"several stores \(STORE, STORE-2\)"):
        remove(world, rows=cases(1))
    assert remove(world, rows=cases(1, store="STORE-2")).is_new


def test_bulk_is_gauged_for_tax_by_weight(world):
    # 27 CFR 19.226, 19.284(b)
    put(world, "storage", "S-1", "N-1", wine="115.60", proof="219.60")
    gauge = {"volume": "50 gal", "temperature": "60 F", "proof": "190"}
    with pytest.raises(Refused, match=r"gauge: Bulk is gauged for tax by weight"):
        remove(world, vessel="S-1", gauge=gauge)
    assert remove(world, vessel="S-1", gauge=gauge, volume_reason="mass flow meter M-1").is_new
    assert removed() == [("tax_determined", 0, 5000, 9500)]


def test_an_emptied_bulk_vessel_leaves_its_difference_as_a_loss(world):
    put(world, "storage", "S-1", "N-1", wine="50.00", proof="95.50")
    gauge = {"volume": "50 gal", "temperature": "60 F", "proof": "190"}
    remove(world, vessel="S-1", gauge=gauge, emptied=True, volume_reason="meter M-1")
    loss = Movement.objects.get(to_account="loss")
    assert (loss.purpose, loss.proof_gallons) == ("empty", 50)
    assert verify(world.premises).faults == []


def test_a_late_record_is_taken_and_tells_how_late(world):
    # 27 CFR 19.580(b)
    at = world.when(AT)
    assert lateness(world.premises, at, at + timedelta(hours=2)) == []
    (line,) = lateness(world.premises, at, at + timedelta(days=3))
    assert line.startswith("Recorded 3 days after the removal; 27 CFR 19.580(b)")


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"rows": []}, "rows"),
        ({"rows": [{"lot": "K-1"}]}, "rows"),
        ({"rows": [{"lot": "K-9", "cases": 1}]}, "rows"),
        ({"rows": [{"lot": "K-1", "cases": 1}], "consignee": ""}, "consignee"),
        ({"rows": [{"lot": "K-1", "cases": 1}], "vessel": "S-1"}, "gauge"),
        ({"rows": [{"lot": "K-1", "cases": 1}], "document": ""}, "document"),
    ],
)
def test_what_is_missing_is_told_beside_its_field(world, fields, field):
    with pytest.raises(Refused) as refused:
        remove(world, **fields)
    assert list(refused.value.errors) == [field]
    assert Lot.objects.count() == 1
