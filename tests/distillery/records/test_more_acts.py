"""Records of rarer acts: destroyed, returned, sold taxpaid, relabelled, packaged, tested."""

from decimal import Decimal
from typing import Any

import pytest

from tests.distillery.barrel_house import lived_in
from tests.distillery.operations.bottling_line import DAY, bottle, opened, supplies
from tests.distillery.stock import put
from tests.world import make_vessel, make_world

pytestmark = pytest.mark.django_db
YEAR = ("2026-01-01", "2026-12-31")
GIN: dict[str, Any] = {
    "stage": "bottled", "unit": "bottle", "form": "bottled", "class_code": "gin",
    "type_code": "distilled gin", "name": "Point gin", "product": "GIN-750", "bottle_ml": 750,
    "per_case": 12, "label_proof": 900, "producer": "Marram Point (invented), DSP-XX-00000",
}  # fmt: skip


def rows_of(told, world, slug):
    return [row for _, rows in told(world, slug, *YEAR) for row in rows]


def named(row, *names):
    return tuple(row.get(name) for name in names)


@pytest.fixture
def world():
    return make_world()


@pytest.fixture
def shop(world):
    """Two cases of gin in bond, one of them sold, and a shop outside bond."""
    make_vessel(world.premises, "SHOP", "store")
    put(world, "finished", "STORE", "K-1", wine="4.76", proof="4.28", amount=24, **GIN)
    world.record(
        "remove", "2026-03-25 14:00", rows=[{"lot": "K-1", "cases": 1}], document="501",
        consignee="Harbor Wholesale (invented)", initials="ab",
    )  # fmt: skip
    return world


def test_spirits_destroyed_with_place_manner_and_person(world, told):
    # 27 CFR 19.617: kind, quantity, gauge, producer, container, when, where, how, by whom
    put(world, "processing", "P-1", "BATCH", wine="50", proof="40", class_code="gin")
    gauge = {"volume": "50 gal", "temperature": "60 F", "proof": "80"}
    world.record(
        "destroy", "2026-05-06 15:30", vessels=[{"vessel": "P-1", **gauge}], place="yard drain",
        manner="poured out with water", person="Ada Dune", person_title="head distiller",
    )  # fmt: skip
    (row,) = rows_of(told, world, "destruction")
    assert named(row, "date", "time", "place", "person_name", "person_title") == (
        "2026-05-06", "15:30", "yard drain", "Ada Dune", "head distiller",
    )  # fmt: skip
    assert named(row, "quantity", "manner") == (Decimal("40.00"), "poured out with water")
    assert row["container_identity_and_type"] == "P-1, tank"
    assert "Volume 50 gal" in row["gauge_elements"]
    assert row["previously_withdrawn_and_returned"] == "no"


def test_a_case_that_came_back_to_bond(shop, told):
    # 27 CFR 19.452: gauged and dumped at once; 2.35 gal at 90 proof are 2.12 (30.51)
    shop.record(
        "return-to-bond", "2026-04-10 10:00", returned_by="Harbor Wholesale (invented)",
        document="RM-1", lot="K-1", purpose="rebottling", account="processing", vessel="P-1",
        cases=1, gauge={"volume": "2.35 gal", "temperature": "60 F", "proof": "90"}, dumped=True,
        credit_memo="CM-1",
    )  # fmt: skip
    (row,) = rows_of(told, shop, "returns-to-bond")
    assert named(row, "pg", "serial_no", "credit_memo_ref") == (Decimal("2.12"), "RM-1", "CM-1")
    assert row["returned_from"] == "Harbor Wholesale (invented)"
    receipts = rows_of(told, shop, "processing-receipts")
    assert receipts[0]["source"] == "return to bond"


def test_own_taxpaid_stock_comes_and_goes(shop, told):
    # 27 CFR 19.622
    shop.record(
        "remove", "2026-03-26 10:00", rows=[{"lot": "K-1", "bottles": 6}], document="502",
        to="taxpaid", shop="SHOP", initials="ab",
    )  # fmt: skip
    rows = [{"lot": "K-1", "bottles": 2}]
    shop.record("taxpaid-sell", "2026-03-27 18:00", kind="sell", rows=rows)
    came, went = rows_of(told, shop, "taxpaid-storeroom")
    assert named(came, "brand", "quantity") == ("Point gin", "6 bottles")
    assert named(went, "what", "quantity") == ("sell, sold", "2 bottles")
    determined = rows_of(told, shop, "tax-determination")
    assert [row["consignee"] for row in determined] == [
        "Harbor Wholesale (invented)", "own stock outside bond",
    ]  # fmt: skip


def test_a_cancelled_invoice_stands_with_its_number(shop, told):
    # common practice, no source: a voided number is kept
    shop.record(
        "cancel-invoice", "2026-03-26 09:00", document="501", reason="never left",
        confirm=["never-left"],
    )  # fmt: skip
    first, back = rows_of(told, shop, "tax-determination")
    assert first["document_serial_no"] == back["document_serial_no"] == "501"
    assert first["proof_gallons"] == -back["proof_gallons"]
    assert first["became_of_it"].startswith("taken back by")
    void, total = rows_of(told, shop, "tax-summary")
    assert named(void, "document_serials", "what") == ("501", "void, its number is kept")
    assert total["total_tax"] == 0
    (mended,) = rows_of(told, shop, "corrections")
    assert mended["reason"] == "never left"


def test_bottles_relabelled_with_their_case_numbers(world, told):
    # 27 CFR 19.604: identity, date, case serials, number of bottles, label approval
    opened(world)
    bottle(world, cases=43, loose=5)
    world.record(
        "relabel", "2026-03-25 10:00", vessel="STORE", cases=2, case_serials="1 and 2",
        lot=world.premises.lots.get(stage="bottled").code, label_approval="11111", why="torn",
    )  # fmt: skip
    (row,) = rows_of(told, world, "relabelling")
    assert named(row, "case_serials", "cases", "cola_ref", "why") == (
        "1 and 2", "2", "11111", "torn",
    )  # fmt: skip
    assert row["date"] == "2026-03-25"


def test_empty_bottles_received_and_used(world, told):
    # 27 CFR 19.603
    glass = supplies(world, bottle=600)["bottle"]
    opened(world)
    bottle(world, cases=43, loose=5, materials=[{"lot": glass, "used": 521, "scrapped": 2}])
    rows = rows_of(told, world, "liquor-bottles")
    assert [row["receipt"] for row in rows if row.get("receipt")] == [600]
    empties = [row for row in rows if row["lot"] == glass]
    assert sum(row.get("use") or 0 for row in empties) == 521
    assert sum(row.get("disposition") or 0 for row in empties) == 2


def test_bottles_tested_at_the_line(world, told):
    # 27 CFR 19.600: 748 and 751 mL of 750 are -0.3 and +0.1 per cent; 90 proof is 45 % (30.11)
    opened(world)
    world.record(
        "bottle-check", f"{DAY} 10:00", vessel="BT-1", line="1", tested=3, proof="45.1 %",
        fills=[{"volume": "748 mL"}, {"volume": "751 mL"}],
    )  # fmt: skip
    (row,) = rows_of(told, world, "fill-and-alcohol-tests")
    assert named(row, "time", "bottling_tank_no", "bottling_record_serial", "bottles_tested") == (
        "10:00", "BT-1", "BR-2", 3,
    )  # fmt: skip
    assert named(row, "labeled_abv", "found_abv") == ("45.00 %", "45.10 %")
    assert row["pct_variation_from_100_fill"] == "-0.3, +0.1"
    assert row["recorded"].endswith(" ada")


def test_kegs_have_a_bottling_record_and_marks_of_their_own(world, told):
    # 27 CFR 19.599, 19.488: 13.21 gal at 90 proof are 11.89, four of them 47.56
    facts = {"class_code": "gin", "type_code": "distilled gin", "formula": "1", "name": "Gin"}
    put(world, "processing", "P-1", "BATCH", wine="100", proof="90", **facts)
    kegs = {"number": 4, "kind": "keg", "each": "13.21 gal"}
    world.record(
        "package", "2026-04-10 09:00", vessel="P-1", product="GIN-750", packages=[kegs],
        store="STORE",
    )  # fmt: skip
    ((head, rows),) = told(world, "bottling", *YEAR)
    assert named(head, "dump_batch_serial", "formula_no") == ("BATCH", "1")
    assert named(rows[0], "cases_or_packages_filled", "total_quantity") == (4, Decimal("47.56"))
    (mark,) = rows_of(told, world, "package-marks-processing")
    assert named(mark, "packages", "formula_no", "date_of_fill") == (4, "1", "2026-04-10")
    assert "P 1–4" in mark["serial_or_lot_no"]


def test_a_barrels_life_through_the_records(told):
    world = lived_in()
    # 27 CFR 19.619: regauged on 30 June, first filled with 17.40 (14.5 gal at 120 proof, 30.51)
    regauge = next(
        row for row in rows_of(told, world, "package-gauge-records")
        if row["related_record"].startswith("Regauge")
    )  # fmt: skip
    assert named(regauge, "gross_weight", "pg_original") == (Decimal("157.00"), Decimal("17.40"))
    (sample,) = rows_of(told, world, "samples")
    assert named(sample, "size", "disposition") == ("100 mL", "looked at")
    assert sample["from"].startswith("B-101")
    words = " ".join(row["words"] or "" for row in rows_of(told, world, "other-acts"))
    assert "Rack 2, row 3, tier 1" in words
    # 27 CFR 19.592: the barrel dumped into the empty tank begins a record
    sheets = told(world, "tank-record", *YEAR)
    (begun,) = [rows for head, rows in sheets if head["tank_id"] == "S-2"]
    assert begun[0]["packages_dumped_count"] == 1
    assert begun[0]["packages_average_pg"] == begun[0]["pg_deposited"]


def test_a_notice_is_among_the_acts_without_a_quantity(world, told):
    world.record(
        "notice", "2026-01-05 09:00", kind="records-elsewhere", how="letter", reference="L-1",
        text="Kept at the accountant's office",
    )  # fmt: skip
    (row,) = rows_of(told, world, "other-acts")
    assert "Kept at the accountant's office" in row["words"]
    assert "L-1" in row["words"]


def test_beer_received_is_told_apart_from_our_own_wash(world, told):
    # 27 CFR 19.584(c) to (g)
    world.record(
        "receive-distilling-material", "2026-01-10 09:00", kind="beer", volume="120 gal",
        abv="8 %", taxed="untaxed", into="FV-2", consignor="Inlet Brewing (invented)",
        consignor_number="BR-XX-00000",
    )  # fmt: skip
    (row,) = rows_of(told, world, "distilling-material")
    assert named(row, "beer_received_from_brewery", "abv_pct_if_received") == (
        Decimal("120.00"), "8 %",
    )  # fmt: skip
    assert row["other_party"] == "Inlet Brewing (invented), BR-XX-00000"
