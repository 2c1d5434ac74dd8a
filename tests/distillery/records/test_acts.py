"""Records of acts, from what was filled in and what moved; the year of tests/test_lifecycle.py."""

from decimal import Decimal

import pytest

pytestmark = pytest.mark.django_db
QUARTER = ("2026-01-01", "2026-03-31")
YEAR = ("2026-01-01", "2026-10-31")


def named(row, *names):
    return tuple(row.get(name) for name in names)


def test_a_transfer_received_with_its_loss_on_the_way(lived, told):
    # 27 CFR 19.621: 220.0 consigned, 115.58 gal at 190 are 219.60
    ((head, rows),) = told(lived(2), "transfers-received", *QUARTER)
    assert named(head, "transfer_record", "securing_devices_intact", "loss_or_gain") == (
        "SK-1", "intact", Decimal("-0.40"),
    )  # fmt: skip
    assert head["account_deposited_into"] == "storage"
    assert head["weight_or_volume_specifics"].startswith("Gauge on receipt: Volume 115.58 gal")
    assert named(rows[0], "tank_no", "proof", "pg_received") == (
        "S-2", Decimal("190.0"), Decimal("219.60"),
    )  # fmt: skip
    assert named(head, "signature", "signed_by", "signed_title") == (None, None, None)


def test_a_transfer_shipped_in_sealed_barrels(lived, told):
    # 27 CFR 19.620: two barrels of 11.80 at their entry gauge
    ((head, rows),) = told(lived(10), "transfers-shipped", *YEAR)
    assert head["consignee_dsp_or_bwc_no"] == "DSP-XX-00001"
    assert head["consignor_dsp_no"] == "DSP-XX-00000"
    assert head["account_removed_from"] == "storage"
    assert head["seal_ids"] == "1, 2"
    assert [row["lot_or_serial_nos"].split(", ")[1] for row in rows[:-1]] == ["L-5", "L-6"]
    assert rows[-1]["proof_gallons"] == Decimal("23.60")
    assert rows[0]["dates_of_fill"] == "2026-01-30"


def test_a_batch_from_four_barrels_to_the_bottles(lived, told):
    # 27 CFR 19.598: 37.18 gal at 117.0 are 43.50; the bottles take 92.90 - see the book's sum
    sheets = told(lived(9), "dump-batch", "2026-09-01", "2026-09-30")
    (rows,) = [rows for head, rows in sheets if head["serial_or_batch_no"].startswith("BATCH-2")]
    dumped = [row["pg_dumped"] for row in rows if row.get("pg_dumped")]
    assert len(dumped) == 4
    assert sum(dumped) == Decimal("43.50")
    total = rows[-1]
    assert total["total_alcoholic_pg"] == Decimal("43.50")
    assert (
        total["total_alcoholic_pg"] + total["batch_gain_or_loss"] == total["total_pg_transferred"]
    )
    assert {row.get("producer_dsp_no") for row in rows if row.get("pg_dumped")} == {"DSP-XX-00000"}


def test_a_redistillation_in_processing_is_closed_with_its_loss(lived, told):
    # 27 CFR 19.602: 100.00 in, 93.60 and 3.90 out (58.50 gal at 160, 3.90 gal at 100)
    ((head, rows),) = told(lived(3), "redistillation", *QUARTER)
    assert head["still"] == "COL"
    assert [row["quantity_in_pg"] for row in rows if row.get("kind_in")] == [Decimal("100.00")]
    assert [row["quantity_out_pg"] for row in rows if row.get("kind_out")] == [
        Decimal("93.60"), Decimal("3.90"),
    ]  # fmt: skip
    assert rows[-1]["gain_or_loss"] == Decimal("-2.50")


def test_a_bottling_from_its_tank_gauge_to_its_close(lived, told):
    # 27 CFR 19.599: 103.56 gal at 90.0 are 93.20; 43 cases of 12 and 5 bottles are 521
    ((head, rows),) = told(lived(3), "bottling", "2026-03-01", "2026-03-31")
    assert named(head, "bottling_tank_no", "tank_gauge_proof", "tank_gauge_pg") == (
        "BT-1", "90.0", "93.20",
    )  # fmt: skip
    assert named(head, "formula_no", "bottle_size", "bottles_per_case") == ("1", "750 mL", "12")
    opened, filled, closed, total = rows
    assert opened["fill_date"] == "2026-03-06"
    assert named(filled, "cases_or_packages_filled", "bottles", "remnant_bottles") == (43, 521, 5)
    assert filled["case_serials_by_brand"] == "1–43, 43R"
    assert total["total_quantity"] == Decimal("92.90")
    assert closed["loss_or_gain"] == Decimal("-0.30")


def test_receipts_into_processing_are_summed_by_source(lived, told):
    # 27 CFR 19.597(b)
    ((_, rows),) = told(lived(9), "processing-receipts", *YEAR)
    assert rows[-1]["date"] == "Sum"
    assert named(rows[-1], "source", "proof_gallons") == ("storage, same plant", Decimal("143.50"))


def test_production_before_and_after_each_removal_with_the_mash(lived, told):
    # 27 CFR 19.289(a), 19.585(a)(3)
    ((_, rows),) = told(lived(1), "production", "2026-01-01", "2026-01-31")
    gauge = next(row for row in rows if row["production_gauge_pg_to_tenth"])
    assert gauge["gauge_before_removal_pg"] == Decimal("150.00")
    assert gauge["gauge_after_removal_pg"] == Decimal("0.00")
    assert gauge["withdrawal_class"] == "to storage"
    assert gauge["proof_of_distillation"] == Decimal("134.0")
    assert len(gauge["source_mash_or_material_trace"].split(", ")) == 3  # a run of two mashes


def test_materials_received_and_used_and_the_wash(lived, told):
    # 27 CFR 19.584(a), (c)
    world = lived(1)
    ((_, rows),) = told(world, "materials", "2026-01-01", "2026-01-31")
    received = [row for row in rows if row["receipt_or_use"] == "received"]
    assert [row["quantity_weight_lb_or_gallons"] for row in received] == [
        "6,000.00 lb", "1,500.00 lb", "1,000.00 lb",
    ]  # fmt: skip
    assert {row["supplier_name"] for row in received} == {"Dune Grain (invented)"}
    assert sum(row["receipt_or_use"] == "used" for row in rows) == 6
    ((_, wash),) = told(world, "distilling-material", "2026-01-01", "2026-01-31")
    made = [row["wine_gallons_produced"] for row in wash if row.get("wine_gallons_produced")]
    used = [row["wine_gallons_used"] for row in wash if row.get("wine_gallons_used")]
    assert made == used == [Decimal("500.00"), Decimal("500.00")]


def test_tax_by_document_and_day(lived, told):
    # 27 CFR 19.612: 30 cases of 12 at 90 proof are 64.19 of the book, 64.2 to the tenth; at
    # 2.70 dollars (26 U.S.C. 5001(c)) 173.34
    world = lived(3)
    ((_, rows),) = told(world, "tax-summary", *QUARTER)
    first, total = rows[0], rows[1]
    assert named(first, "document_serials", "rate", "pg_to_tenth_per_effective_rate") == (
        "501", Decimal("2.70"), Decimal("64.2"),
    )  # fmt: skip
    assert first["tax_per_document"] == total["total_tax"] == Decimal("173.34")
    ((_, lines),) = told(world, "tax-determination", *QUARTER)
    assert lines[0]["data_to_compute_total_pg"] == "30 cases of 12, 750 mL, 90.0 proof"
    assert named(lines[0], "initials", "pg_per_effective_rate") == ("a", "64.2 PG at $2.70")


def test_a_shortage_is_a_loss_that_is_taxed(lived, told):
    # 27 CFR 19.465: 28 bottles by the book, 27 counted
    world = lived(6)
    ((_, rows),) = told(world, "losses", "2026-06-01", "2026-06-30")
    assert named(rows[0], "cause", "container", "tax_paid_or_claim_ref") == (
        "unexplained shortage", "STORE", "tax is due",
    )  # fmt: skip
    ((_, taxed),) = told(world, "tax-summary", "2026-06-01", "2026-06-30")
    assert taxed[0]["what"] == "bottled shortage"


def test_an_inventory_with_its_signature_and_differences(lived, told):
    # 27 CFR 19.623(a)
    world = lived(6)
    ((head, rows),) = told(world, "inventories", *QUARTER)
    assert named(head, "signature", "signed_by", "signed_title") == (
        "signed in the book", "Ada", "Owner",
    )  # fmt: skip
    by_tank = {row["container_id"]: row for row in rows}
    assert set(by_tank) == {"S-2", "S-1", "P-2"}
    assert named(by_tank["S-2"], "quantity", "losses") == (
        "62.84 gal, 119.40 PG", Decimal("0.20"),
    )  # fmt: skip
    ((_, bottled),) = told(world, "inventories", "2026-06-30", "2026-06-30")
    assert named(bottled[0], "quantity", "bottles_or_amount") == (
        "27 bottles, 4.81 PG",
        "1 bottle",
    )
    assert bottled[0]["shortages"] == Decimal("0.18")


def test_a_sample_and_who_has_it(lived, told):
    # 27 CFR 19.616
    ((_, (row,)),) = told(lived(3), "samples", *QUARTER)
    assert named(row, "account", "purpose", "number", "disposition") == (
        "finished goods", "laboratory analysis", "1", "sent out",
    )  # fmt: skip
    assert row["outside_recipient_name_address"] == "A laboratory (invented)"


def test_marks_of_packages_and_cases(lived, told):
    # 27 CFR 19.484, 19.485, 19.490: lot of 30 January 2026 is 26A30
    world = lived(3)
    ((_, rows),) = told(world, "package-marks", *QUARTER)
    assert len(rows) == 12
    assert {named(row, "lot_identification_no", "RC_G") for row in rows} == {("26A30", "RC-G 10")}
    ((_, (cases,)),) = told(world, "case-serials", *QUARTER)
    assert named(cases, "case_no_1_to_1000000", "remnant_suffix_R", "liters") == (
        "1 to 43", "43R", Decimal("9.000"),
    )  # fmt: skip


def test_the_gauge_record_of_twelve_barrels(lived, told):
    # 27 CFR 19.618
    sheets = told(lived(1), "gauge-records", "2026-01-30", "2026-01-30")
    ((head, rows),) = sheets
    assert head["reason"] == "Packages filled from a storage tank"
    assert head["container_count"] == 12
    assert {named(row, "cooperage_code", "entry_proof_whiskey") for row in rows[:-1]} == {
        ("C", Decimal("118.0"))
    }
    assert rows[-1]["total_pg"] == Decimal("141.60")


def test_a_late_record_tells_both_moments(lived, told):
    ((_, rows),) = told(lived(1), "daily-record", "2026-01-05", "2026-01-05")[:1]
    assert rows[0]["happened"].startswith("2026-01-05")
    assert rows[0]["recorded"].endswith(" ada")
    assert rows[0]["late"].endswith(" days")


def test_the_daily_record_has_every_movement(lived, told):
    world = lived(10)
    told_of = told(world, "daily-record", *YEAR)
    numbers = {row["entry"] for _, rows in told_of for row in rows}
    moved = world.premises.entries.filter(movements__isnull=False).distinct()
    assert numbers == {f"No. {entry.number}" for entry in moved}
