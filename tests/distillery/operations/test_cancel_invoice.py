"""Goods determined and not gone, goods gone later, and invoices that came to nothing."""

import pytest

from distillery.recording import Asked, Refused
from distillery.removals import not_gone
from ledger.models import Holding
from ledger.verifying import verify
from tests.distillery.stock import held, put
from tests.world import make_vessel, make_world

pytestmark = pytest.mark.django_db
AT = "2026-03-25 14:00"


@pytest.fixture
def world():
    """120 bottles of 750 mL at 90 proof: 23.78 WG, 21.40 PG (27 CFR 19.582, 30.52)."""
    world = make_world()
    put(
        world, "finished", "STORE", "K-1", wine="23.78", proof="21.40", amount=120,
        stage="bottled", unit="bottle", form="bottled", class_code="gin", name="Point gin",
        bottle_ml=750, per_case=12, label_proof=900,
    )  # fmt: skip
    return world


def remove(world, document="501", at=AT, **more):
    fields = {"consignee": "Harbor Wholesale (invented)", "initials": "ab"}
    rows = [{"lot": "K-1", "cases": 2}]
    return world.record("remove", at, document=document, rows=rows, **fields | more)


def cancel(world, document="501", at="2026-03-26 09:00", **more):
    fields = {"reason": "the customer called it off"} | more
    return world.record("cancel-invoice", at, document=document, **fields)


def gone(world, document="501", at="2026-03-27 09:00", **more):
    return world.record("goods-gone", at, document=document, **more)


def waiting(world):
    return [entry.document for entry in not_gone(world.premises)]


def test_goods_not_gone_wait_until_they_go(world):
    # 27 CFR 19.464: determined, and still on the premises
    done = remove(world, not_gone=True, stands_at="by the dock")
    remove(world, "502")
    assert waiting(world) == ["501"]
    assert "they stand by the dock" in done.plan.lines[-1]
    entry = gone(world, conveyance="our van").entry
    assert (entry.document, entry.movements.count()) == ("501", 0)
    assert waiting(world) == []


def test_goods_go_once(world):
    remove(world, not_gone=True)
    first = gone(world)
    with pytest.raises(Refused, match=f"gone by entry {first.entry.number}"):
        gone(world, at="2026-03-28 09:00")


def test_goods_gone_taken_back_wait_again(world):
    remove(world, not_gone=True)
    first = gone(world)
    world.record("reverse", "2026-03-28 09:00", entry=first.entry.number, reason="wrong van")
    assert waiting(world) == ["501"]


def test_goods_do_not_go_before_their_tax_is_determined(world):
    remove(world, not_gone=True)
    with pytest.raises(Refused) as refused:
        gone(world, at="2026-03-24 09:00")
    assert list(refused.value.errors) == ["at"]


def test_an_unknown_document_is_refused(world):
    for act in (gone, cancel):
        with pytest.raises(Refused) as refused:
            act(world, "999")
        assert list(refused.value.errors) == ["document"]


def test_what_was_lost_before_it_went_may_be_claimed(world):
    # 27 CFR 19.464
    remove(world, not_gone=True)
    done = gone(world, lost="one case, fell off the dock", claim="C-1")
    assert "19.464" in done.plan.lines[1]


def test_a_cancelled_invoice_puts_the_goods_back_into_bond(world):
    remove(world, not_gone=True)
    done = cancel(world)
    assert held("STORE") == [("finished", "K-1", 2378, 2140)]
    assert Holding.objects.get(account="finished").amount == 120
    assert (done.entry.document, done.entry.happened_at) == ("501", world.when(AT))
    assert waiting(world) == []
    assert verify(world.premises).faults == []


def test_a_voided_number_is_kept(world):
    remove(world, not_gone=True)
    done = cancel(world)
    with pytest.raises(Refused, match=f"voided by entry {done.entry.number}") as refused:
        remove(world, at="2026-03-26 10:00")
    assert list(refused.value.errors) == ["document"]


def test_an_invoice_not_marked_is_asked_about(world):
    remove(world)
    with pytest.raises(Asked, match="never-left"):
        cancel(world)
    assert cancel(world, confirm=["never-left"]).is_new


def test_goods_that_are_gone_cannot_be_cancelled(world):
    remove(world, not_gone=True)
    gone(world)
    with pytest.raises(Refused, match="return to bond"):
        cancel(world, at="2026-03-28 09:00")


def test_what_the_shop_has_sold_stands_in_the_way(world):
    make_vessel(world.premises, "SHOP", "store")
    remove(world, to="taxpaid", consignee="", shop="SHOP")
    world.record(
        "taxpaid-sell", "2026-03-25 18:00", kind="sell", rows=[{"lot": "K-1", "bottles": 1}]
    )
    with pytest.raises(Refused, match="Later entries took from there"):
        cancel(world, confirm=["never-left"])


def test_a_reason_is_needed(world):
    remove(world, not_gone=True)
    with pytest.raises(Refused) as refused:
        cancel(world, reason="")
    assert list(refused.value.errors) == ["reason"]


def test_an_operator_cancels_only_what_they_recorded_the_same_day(world):
    remove(world, not_gone=True)
    with pytest.raises(Refused, match="only what you recorded yourself"):
        cancel(world, by=world.operator)
    remove(world, "502", by=world.operator, not_gone=True)
    assert cancel(world, "502", by=world.operator).is_new
