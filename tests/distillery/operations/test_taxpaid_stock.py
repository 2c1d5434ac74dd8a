"""The plant's own taxpaid stock: bought, sold, poured, broken, counted (27 CFR 19.622)."""

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Lot, Movement
from ledger.verifying import verify
from tests.distillery.stock import held, moved, put
from tests.world import make_vessel, make_world

pytestmark = pytest.mark.django_db
GIN = {
    "stage": "bottled", "unit": "bottle", "form": "bottled", "class_code": "gin",
    "name": "Point gin", "bottle_ml": 750, "per_case": 12, "label_proof": 900,
}  # fmt: skip


@pytest.fixture
def world():
    """A case of 750 mL at 90 proof in the shop: 2.38 WG, 2.14 PG (27 CFR 19.582, 30.52)."""
    world = make_world()
    make_vessel(world.premises, "SHOP", "store")
    put(world, "taxpaid", "SHOP", "K-1", wine="2.38", proof="2.14", amount=12, **GIN)
    return world


def leave(world, kind, at="2026-03-25 18:00", **more):
    rows = [{"lot": "K-1", "bottles": 3}]
    return world.record("taxpaid-sell", at, **{"kind": kind, "rows": rows} | more)


def buy(world, **more):
    fields = {
        "supplier": "Harbor Wholesale (invented)", "document": "H-7", "store": "SHOP",
        "name": "Gull rum (invented)", "family": "rum", "bottle_ml": "750", "per_case": "12",
        "proof": "80", "cases": "2",
    }  # fmt: skip
    return world.record("taxpaid-receive", "2026-03-20 10:00", **fields | more)


@pytest.mark.parametrize(
    ("kind", "end"),
    [("sell", "sold"), ("pour", "sold"), ("breakage", "taxpaid_loss"), ("destroy", "taxpaid_loss")],
)
def test_each_way_out_has_its_flow(world, kind, end):
    # a quarter of the holding: 0.60 WG by what is left, 0.53 PG
    leave(world, kind, manner="poured away before a witness")
    bottles, wine, proof = moved("taxpaid", end, kind)
    assert bottles == 3
    assert held("SHOP") == [("taxpaid", "K-1", 238 - wine, 214 - proof)]
    assert abs(proof - 53.5) <= 0.5


def test_a_pour_says_that_its_tax_was_determined_before(world):
    # 27 CFR 19.434(d)(1): tasting by the public is no tax-free sample
    assert "19.434(d)(1)" in leave(world, "pour").plan.lines[-1]


def test_the_last_bottle_takes_what_is_left(world):
    leave(world, "sell", rows=[{"lot": "K-1", "bottles": 11}])
    leave(world, "sell", at="2026-03-25 19:00", rows=[{"lot": "K-1", "bottles": 1}])
    assert held("SHOP") == []
    assert moved("taxpaid", "sold", "sell") == (12, 238, 214)


def test_more_than_the_shop_has_is_asked_about(world):
    with pytest.raises(Asked, match="found-more"):
        leave(world, "sell", rows=[{"lot": "K-1", "cases": 2}])


def test_bonded_goods_are_not_sold_here(world):
    # 27 CFR 19.54(b), 19.611: they leave bond on a document first
    put(world, "finished", "STORE", "K-2", wine="2.38", proof="2.14", amount=12, **GIN)
    with pytest.raises(Refused, match="no bottles of lot K-2"):
        leave(world, "sell", rows=[{"lot": "K-2", "bottles": 1}])


def test_a_barrel_in_the_shop_is_poured_by_volume(world):
    put(world, "taxpaid", "SHOP", "L-1", wine="10", proof="11.8")
    leave(world, "pour", rows=[{"lot": "L-1", "volume": "1 gal"}])
    assert moved("taxpaid", "sold", "pour") == (0, 100, 118)
    with pytest.raises(Refused, match="by volume"):
        leave(world, "pour", rows=[{"lot": "L-1", "bottles": 1}])


def test_goods_bought_taxpaid_are_a_lot_of_their_own(world):
    # 27 CFR 19.582, 30.52: 24 x 750 mL at 80 proof are 4.76 WG and 3.80 PG
    done = buy(world)
    assert moved("supplier", "taxpaid", "receive") == (24, 476, 380)
    lot = Lot.objects.get(code=f"T-{done.entry.number}")
    assert (lot.name, lot.producer) == ("Gull rum (invented)", "Harbor Wholesale (invented)")


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"cases": "0"}, "cases"), ({"per_case": ""}, "per_case"), ({"supplier": ""}, "supplier"),
     ({"name": ""}, "name")],
)  # fmt: skip
def test_what_is_missing_is_told(world, changes, field):
    with pytest.raises(Refused) as refused:
        buy(world, **changes)
    assert list(refused.value.errors) == [field]


def test_the_shop_is_counted_like_any_store(world):
    # a shortage there is no bonded shortage of 27 CFR 19.465: its tax is paid
    rows = [{"vessel": "SHOP", "lot": "K-1", "bottles": 11}]
    world.record("count", "2026-03-31 18:00", kind="other", rows=rows)
    row = Movement.objects.get(purpose="count")
    assert (row.to_account, row.amount) == ("taxpaid_loss", 1)


def test_a_sale_dated_back_is_in_its_place(world):
    leave(world, "sell")
    leave(world, "sell", at="2026-03-24 18:00")
    assert verify(world.premises).faults == []
    assert moved("taxpaid", "sold", "sell")[0] == 6
