"""The tax figure of what the operations of removal really post.

Rates: 26 U.S.C. 5001(c)(1), 2.70 a proof gallon of the first 100,000. Tenths: 27 CFR 19.612(a).
"""

from datetime import date

import pytest

from ledger.closing import close
from reports.filling import fill
from reports.forms import FORMS
from reports.month_book import read_book
from reports.tax import tax_from
from tests.distillery.stock import put
from tests.world import make_vessel, make_world

pytestmark = pytest.mark.django_db
MARCH = date(2026, 3, 1)
# 27 CFR 30.64: 0.12676 wine gallons a pound at 85.5 proof: 700 lb are 88.73 gal, 75.9 PG.
WEIGHED = {"net": "700 lb", "proof": "85.5"}


@pytest.fixture
def world():
    """Bulk in three accounts, and 120 bottles of 750 mL at 90 proof: 21.40 PG (19.582, 30.52)."""
    world = make_world()
    make_vessel(world.premises, "SHOP", "store")
    for account, vessel in (("production", "RCV-1"), ("storage", "S-1"), ("processing", "P-1")):
        put(world, account, vessel, f"B-{vessel}", wine="100", proof="85.5", class_code="rum")
    put(
        world, "finished", "STORE", "K-1", wine="23.78", proof="21.40", amount=120,
        stage="bottled", unit="bottle", form="bottled", class_code="gin", name="Point gin",
        bottle_ml=750, per_case=12, label_proof=900,
    )  # fmt: skip
    return world


def remove(world, document, at="2026-03-25 14:00", **more):
    fields = {"consignee": "Harbor Wholesale (invented)", "initials": "ab"}
    return world.record("remove", at, document=document, **fields | more)


def told(world, month=MARCH):
    figure = tax_from(read_book(world.premises, month))
    return [(one.number, str(one.proof_gallons), str(one.tax)) for one in figure.documents]


@pytest.mark.parametrize("vessel", ["RCV-1", "S-1", "P-1"])
def test_bulk_is_taxed_from_every_account(world, vessel):
    # 75.9 x 2.70 = 204.93; 27 CFR 19.226, 19.289(b)
    remove(world, "501", vessel=vessel, gauge=WEIGHED)
    assert told(world) == [("501", "75.9", "204.93")]


def test_bulk_and_bottles_of_one_document_are_one_withdrawal(world):
    # 27 CFR 19.611: 75.86 and 4.28 are 80.1, 216.27 at 2.70
    remove(world, "501", vessel="P-1", gauge=WEIGHED, rows=[{"lot": "K-1", "cases": 2}])
    assert told(world) == [("501", "80.1", "216.27")]


def test_the_tasting_room_is_taxed_when_it_is_stocked_and_not_when_it_pours(world):
    # 27 CFR 19.611, 19.622: 2.14 PG to the tenth, 5.67
    remove(world, "501", to="taxpaid", consignee="", shop="SHOP", rows=[{"lot": "K-1", "cases": 1}])
    for kind in ("pour", "sell", "breakage"):
        rows = [{"lot": "K-1", "store": "SHOP", "bottles": 1}]
        world.record("taxpaid-sell", "2026-03-26 18:00", kind=kind, rows=rows)
    counted = [{"vessel": "SHOP", "lot": "K-1", "bottles": 8}]
    world.record("count", "2026-03-31 18:00", kind="other", rows=counted)
    assert told(world) == [("501", "2.1", "5.67")]


def test_goods_bought_taxpaid_owe_nothing(world):
    world.record(
        "taxpaid-receive", "2026-03-20 10:00", supplier="Harbor Wholesale (invented)",
        store="SHOP", name="Gull rum (invented)", family="rum", bottle_ml="750", proof="80",
        bottles="6",
    )  # fmt: skip
    assert told(world) == []


def test_a_cancelled_invoice_stands_with_no_tax(world):
    # its number is kept in the summary of 27 CFR 19.612
    remove(world, "501", rows=[{"lot": "K-1", "cases": 2}], not_gone=True)
    world.record("cancel-invoice", "2026-03-26 09:00", document="501", reason="called off")
    remove(world, "502", rows=[{"lot": "K-1", "cases": 1}])
    assert told(world) == [("501", "0.0", "0.00"), ("502", "2.1", "5.67")]


def test_an_invoice_cancelled_after_its_month_was_closed_amends_it(world):
    remove(world, "501", rows=[{"lot": "K-1", "cases": 2}], not_gone=True)
    close(world.premises, date(2026, 1, 1), by="ada")
    close(world.premises, date(2026, 2, 1), by="ada")
    world.record(
        "count", "2026-03-31 17:00", kind="quarter", counter="Ada", counter_title="Owner",
        statement=True,
        rows=[{"vessel": code, "as_book": True} for code in ("RCV-1", "S-1", "P-1")],
    )  # fmt: skip
    close(world.premises, MARCH, by="ada")
    world.record(
        "cancel-invoice", "2026-04-02 09:00", document="501", reason="called off", late="amend"
    )
    assert told(world) == [("501", "0.0", "0.00")]


def test_goods_not_gone_are_taxed_on_their_document(world):
    # 27 CFR 19.464: determined already; 19.580(b): the same day
    remove(world, "501", rows=[{"lot": "K-1", "cases": 1}], not_gone=True)
    before = told(world)
    world.record("goods-gone", "2026-04-02 09:00", document="501")
    assert told(world) == before == [("501", "2.1", "5.67")]
    assert told(world, date(2026, 4, 1)) == []


def test_what_leaves_without_tax_owes_none_and_has_its_line(world):
    # TTB F 5110.28 line 16, 5110.11 line 14, 5110.40 line 4
    for number, (vessel, to) in enumerate(
        {"P-1": "export", "S-1": "winery", "RCV-1": "export"}.items()
    ):
        remove(world, f"E-{number}", to=to, permit="P-12", vessel=vessel, gauge=WEIGHED)
    assert told(world) == []
    wanted = {"processing": ("I", "16"), "storage": ("", "14"), "production": ("I", "4")}
    for form, (part, line) in wanted.items():
        filled = fill(FORMS[form], world.premises, MARCH, "domestic" if form == "storage" else "")
        found = [
            cell.value for one, row, _, cell in filled.every_cell()
            if (one.part, row.number) == (part, line) and cell.value
        ]  # fmt: skip
        assert found
        assert all(abs(value - 7586) <= 1 for value in found), form


def test_a_loss_in_transit_marked_as_taxed_is_taxed(world):
    # 27 CFR 19.461: 0.40 PG, 1.08
    gauge = {"volume": "115.58 gal", "temperature": "60 F", "proof": "190"}
    world.record(
        "receive-in-bond", "2026-03-03 10:00", consignor="Dune (invented)", registry="DSP-XX-9",
        document="TR-17", consigned="220.0", seals="intact", account="storage", vessel="NS",
        gauge=gauge, family="spirits", distilled_at="190", loss_taxed=True,
    )  # fmt: skip
    assert [row[1:] for row in told(world)] == [("0.4", "1.08")]


def test_a_return_to_bond_leaves_the_tax_as_it_was(world):
    # 27 CFR 19.264: the tax comes back by a claim, not by the month's figure
    remove(world, "501", rows=[{"lot": "K-1", "cases": 1}])
    world.record(
        "return-to-bond", "2026-03-28 10:00", returned_by="Harbor Wholesale (invented)",
        document="RM-1", lot="K-1", purpose="rebottling", account="processing", vessel="P-2",
        gauge={"volume": "2.35 gal", "temperature": "60 F", "proof": "90"}, dumped=True,
    )  # fmt: skip
    assert told(world) == [("501", "2.1", "5.67")]
