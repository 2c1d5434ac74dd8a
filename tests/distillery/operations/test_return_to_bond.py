"""Taxpaid spirits that come back: into bond by their gauge, or only to be relabelled."""

from datetime import date
from typing import Any

import pytest

from distillery.recording import Asked, Refused
from distillery.returns import last_day_to_claim
from ledger.models import Descent, Holding, Lot, Movement
from ledger.verifying import verify
from tests.distillery.stock import held, moved, put
from tests.world import make_vessel, make_world

pytestmark = pytest.mark.django_db
AT = "2026-04-10 10:00"
GIN: dict[str, Any] = {
    "stage": "bottled", "unit": "bottle", "form": "bottled", "class_code": "gin",
    "type_code": "distilled gin", "name": "Point gin", "product": "GIN-750", "bottle_ml": 750,
    "per_case": 12, "label_proof": 900, "producer": "Marram Point",
}  # fmt: skip


@pytest.fixture
def world():
    """Two cases of 750 mL at 90 proof, 4.76 WG and 4.28 PG (27 CFR 19.582, 30.52)."""
    world = make_world()
    make_vessel(world.premises, "SHOP", "store")
    put(world, "finished", "STORE", "K-1", wine="4.76", proof="4.28", amount=24, **GIN)
    return world


def sold(world, **more):
    fields = {"consignee": "Harbor Wholesale (invented)", "initials": "ab", "document": "501"}
    world.record("remove", "2026-03-25 14:00", rows=[{"lot": "K-1", "cases": 1}], **fields | more)


def back(world, at=AT, **more):
    fields = {
        "returned_by": "Harbor Wholesale (invented)", "document": "RM-1", "lot": "K-1",
        "purpose": "rebottling", "account": "processing", "vessel": "P-1", "cases": 1,
        "gauge": {"volume": "2.35 gal", "temperature": "60 F", "proof": "90"}, "dumped": True,
    } | more  # fmt: skip
    return world.record("return-to-bond", at, **fields)


@pytest.mark.parametrize("account", ["processing", "redistil", "storage"])
def test_it_comes_in_by_its_gauge(world, account):
    # 27 CFR 19.452, 30.51: 2.35 gal at 90 proof are 2.12 PG (2.115 half up)
    sold(world)
    done = back(world, account=account)
    code = f"RB-{done.entry.number}"
    assert held("P-1") == [(account, code, 235, 212)]
    assert moved("tax_determined", account, "return") == (0, 235, 212)
    lot = Lot.objects.get(code=code)
    assert (lot.unit, lot.bottle_ml, lot.product) == ("pg", None, "")
    assert (lot.designation.class_code, lot.designation.form) == ("gin", "")


def test_what_came_back_descends_from_what_had_left(world):
    sold(world)
    done = back(world)
    row = Descent.objects.get(child__code=f"RB-{done.entry.number}")
    assert row.parent.code == "K-1"


def test_a_lot_not_known_says_its_kind(world):
    fields = {"lot": "", "family": "gin", "name": "Old gin", "source": "imported"}
    done = back(world, **fields)
    lot = Lot.objects.get(code=f"RB-{done.entry.number}")
    assert (lot.name, lot.designation.source) == ("Old gin", "imported")
    with pytest.raises(Refused) as refused:
        back(world, lot="")
    assert list(refused.value.errors) == ["lot"]


def test_what_is_not_dumped_at_once_is_asked_about(world):
    # 27 CFR 19.452
    sold(world)
    with pytest.raises(Asked, match="not-dumped"):
        back(world, dumped=False)


def test_the_claim_has_six_months(world):
    # 27 CFR 19.264
    sold(world)
    assert "filed by 10 October 2026" in " ".join(back(world).plan.lines)


@pytest.mark.parametrize(
    ("day", "last"),
    [((2026, 4, 10), (2026, 10, 10)), ((2026, 8, 31), (2027, 2, 28)),
     ((2026, 6, 30), (2026, 12, 30)), ((2026, 7, 31), (2027, 1, 31))],
)  # fmt: skip
def test_six_months_by_the_calendar(day, last):
    assert last_day_to_claim(date(*day)) == date(*last)


def from_shop(world, **more):
    sold(world, to="taxpaid", consignee="", shop="SHOP")
    return back(world, returned_by="", shop="SHOP", **more)


def test_the_shops_bottles_leave_the_taxpaid_stock_with_their_glass(world):
    # by the book 2.38 WG and 2.14 PG; the gauge finds 2.35 and 2.12
    from_shop(world)
    assert moved("taxpaid", "processing", "return") == (0, 235, 212)
    assert moved("taxpaid", "glass", "return") == (12, 0, 0)
    assert moved("taxpaid", "taxpaid_loss", "count") == (0, 3, 2)
    assert held("SHOP") == []
    assert verify(world.premises).faults == []


def test_more_than_the_shops_book_is_a_gain_there(world):
    gauge = {"volume": "2.40 gal", "temperature": "60 F", "proof": "90"}
    from_shop(world, gauge=gauge)
    assert moved("gain", "taxpaid", "count") == (0, 2, 2)
    assert Holding.objects.get(account="taxpaid").proof_gallons == 0


def test_a_part_of_a_barrel_comes_back_and_the_rest_stays(world):
    # 2.35 of 10.00 gal; all of it leaves the rest as a loss outside bond
    put(world, "taxpaid", "SHOP", "L-1", wine="10", proof="9")
    back(world, returned_by="", shop="SHOP", lot="L-1", cases="")
    assert held("SHOP") == [("taxpaid", "L-1", 765, 688)]
    fields = {"document": "RM-2", "vessel": "P-2", "emptied": True, "returned_by": "", "cases": ""}
    back(world, at="2026-04-11 10:00", shop="SHOP", lot="L-1", **fields)
    assert held("SHOP") == []
    assert moved("taxpaid", "taxpaid_loss", "count") == (0, 530, 476)


def test_it_needs_a_customer_or_our_shop(world):
    with pytest.raises(Refused) as refused:
        back(world, returned_by="")
    assert list(refused.value.errors) == ["returned_by"]


def test_onto_a_heel_of_another_kind_it_is_refused(world):
    # 27 CFR 19.326
    put(world, "storage", "S-1", "OLD", wine="10", proof="12", class_code="whisky")
    with pytest.raises(Refused, match="not mingled"):
        back(world, account="storage", vessel="S-1")


def test_a_return_dated_back_stands_at_its_day(world):
    sold(world)
    back(world)
    back(world, at="2026-04-01 10:00", document="RM-0", vessel="P-2")
    assert verify(world.premises).faults == []


def relabel(world, **more):
    fields = {
        "returned_by": "Harbor Wholesale (invented)", "document": "RM-2", "lot": "K-1",
        "work": "relabel", "cases": 1, "case_serials": "17", "label_approval": "24001001",
        "done_at": "2026-04-10 15:00", "goes_to": "Harbor Wholesale (invented)",
        "consent": "ours",
    } | more  # fmt: skip
    return world.record("return-for-relabel", AT, **fields)


def test_relabelling_moves_nothing(world):
    # 27 CFR 19.453: no entry of proof gallons, no tax, no credit
    before = Movement.objects.count()
    done = relabel(world)
    assert Movement.objects.count() == before
    assert (done.entry.document, done.entry.movements.count()) == ("RM-2", 0)
    assert "19.453" in done.plan.lines[1]


@pytest.mark.parametrize(
    ("changes", "code"),
    [({"done_at": ""}, "not-at-once"), ({"done_at": "2026-04-13 9:00"}, "not-at-once"),
     ({"label_approval": ""}, "no-approval"), ({"consent": ""}, "no-consent")],
)  # fmt: skip
def test_what_the_law_wants_of_it_is_asked_about(world, changes, code):
    # 27 CFR 19.453, 19.604
    with pytest.raises(Asked, match=code):
        relabel(world, **changes)
    assert relabel(world, confirm=[code], **changes).is_new


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"lot": ""}, "product"), ({"cases": ""}, "cases"), ({"done_at": "2026-04-09"}, "done_at")],
)
def test_what_is_missing_of_a_relabelling_is_told(world, changes, field):
    with pytest.raises(Refused) as refused:
        relabel(world, **changes)
    assert list(refused.value.errors) == [field]
