"""Running records of a small month, worked out by hand, and their ties to the book.

The acts of the month are those of tests/test_lifecycle.py; 27 CFR 19.590 to 19.593, 19.601.
"""

from datetime import date
from decimal import Decimal

import pytest

from distillery.records.span import Span
from distillery.records.tank_fills import fills
from ledger.models import Holding
from ledger.models.book import LIVE
from ledger.quantities import to_decimal

pytestmark = pytest.mark.django_db
JANUARY = ("2026-01-01", "2026-01-31")


def figures(rows, name):
    return [row[name] for row in rows if row.get(name) is not None]


def held(account, *, is_barrel):
    rows = Holding.objects.filter(LIVE, account=account)
    rows = rows.filter(vessel__kind="barrel") if is_barrel else rows.exclude(vessel__kind="barrel")
    return to_decimal(sum(row.proof_gallons for row in rows))


def test_a_tank_filled_and_drawn_down_in_january(lived, told):
    # 111.94 gal at 134.0 are 150.0 (30.51, to a tenth 19.289(d)); twelve barrels of 10 gal at
    # 118.0 are 11.8 each, 141.6; what is left, 7.03 gal at 118.0, is 8.30: lost 150.00 - 141.60
    # - 8.30 = 0.10.
    ((head, rows),) = told(lived(1), "tank-record", *JANUARY)
    assert (head["tank_id"], head["record_serial_from_1_each_calendar_year"]) == (
        "S-1",
        "1 of 2026",
    )
    deposit, reduced, drawn, end = rows
    assert (deposit["date"], deposit["pg_deposited"]) == ("2026-01-29", Decimal("150.00"))
    assert deposit["pipeline_flag"] == "pipeline"
    # water changes no proof gallons (30.51)
    assert (reduced["what"], reduced["balance"]) == ("Reduce with water", Decimal("150.00"))
    assert reduced["water"] > 0
    assert (drawn["pg_withdrawn"], drawn["gain_or_loss"]) == (Decimal("141.60"), Decimal("-0.10"))
    assert end["month_end_balance_pg"] == Decimal("8.30")


def test_the_barrels_of_january(lived, told):
    sheets = told(lived(1), "package-summary", *JANUARY)
    filled, end = sheets[0][1]
    assert (filled["packages_count"], filled["proof_gallons"]) == (12, Decimal("141.60"))
    assert (end["packages_balance"], end["month_end_balance_pg"]) == (12, Decimal("141.60"))
    head, (together,) = sheets[-1]
    assert head["kind"] == "All kinds and containers"
    assert (together["proof_gallons"], together["proof_gallons_out"]) == (
        Decimal("150.00"), Decimal("0.10"),
    )  # fmt: skip
    assert together["month_end_balance_pg"] == Decimal("149.90")


def test_spirits_of_190_proof_run_by_kind_and_not_by_tank(lived, told):
    # 115.58 gal at 190 are 219.60 in; 52.63 gal at 190 are 100.00 out in March; the inventory
    # finds 62.84 gal, 119.40 of the 119.60 left (19.593, 19.333).
    world = lived(3)
    assert all(head["tank_id"] == "S-1" for head, _ in told(world, "tank-record", *JANUARY))
    ((_, rows),) = told(world, "tank-summary", "2026-01-01", "2026-03-31")
    assert figures(rows, "pg_in") == [Decimal("219.60")]
    assert figures(rows, "pg_out") == [Decimal("100.00")]
    assert figures(rows, "gain_or_loss") == [Decimal("-0.20")]
    assert rows[-1]["pg_remaining"] == Decimal("119.40")


def test_a_record_that_begins_in_the_middle_is_brought_forward(lived, told):
    ((_, rows),) = told(lived(3), "tank-record", "2026-02-01", "2026-02-28")
    assert [row["what"] for row in rows] == ["Brought forward", "Balance at month's end"]
    assert {row.get("balance", row.get("month_end_balance_pg")) for row in rows} == {
        Decimal("8.30")
    }


@pytest.mark.parametrize("months", [1, 3, 9, 10])
def test_the_balances_at_the_end_are_the_holdings(lived, told, months):
    world = lived(months)
    last = f"2026-{months:02}-{31 if months in (1, 3, 10) else 30}"
    tanks = told(world, "tank-record", "2026-01-01", last)
    summary = told(world, "tank-summary", "2026-01-01", last)
    ends = [rows[-1].get("month_end_balance_pg") or 0 for _, rows in tanks]
    assert sum(ends) + sum(rows[-1]["pg_remaining"] for _, rows in summary) == held(
        "storage", is_barrel=False
    )
    racks = told(world, "package-summary", "2026-01-01", last)
    by_kind = [rows[-1] for head, rows in racks[:-1]]
    assert sum(row["month_end_balance_pg"] for row in by_kind) == held("storage", is_barrel=True)
    assert racks[-1][1][-1]["month_end_balance_pg"] == held("storage", is_barrel=True) + held(
        "storage", is_barrel=False
    )


def test_rows_of_a_month_and_of_a_year_are_the_same_movements(lived, told):
    """A year read month by month moves what it moves read at once."""
    world = lived(10)
    names = ("pg_deposited", "pg_withdrawn", "gain_or_loss")

    def moved(first, last):
        sheets = told(world, "tank-record", first, last)
        return [sum(figures([r for _, rows in sheets for r in rows], name)) for name in names]

    months = [moved(f"2026-{m:02}-01", f"2026-{m:02}-28") for m in range(1, 11)]
    rest = [moved(f"2026-{m:02}-29", f"2026-{m:02}-30") for m in (1, 3, 4, 5, 6, 7, 8, 9, 10)]
    last = [moved(f"2026-{m:02}-31", f"2026-{m:02}-31") for m in (1, 3, 5, 7, 8, 10)]
    by_month = [sum(column) for column in zip(*months, *rest, *last, strict=True)]
    assert by_month == moved("2026-01-01", "2026-10-31")


def test_storage_operations_add_up_to_what_storage_holds(lived, told):
    world = lived(10)
    ((_, rows),) = told(world, "storage-operations", "2026-01-01", "2026-10-31")
    came = sum(row["quantity_pg"] for row in rows if row["receipt_source"])
    went = sum(row["quantity_pg"] for row in rows if row["withdrawal_class"])
    gained = sum(row["quantity_pg"] for row in rows if str(row["activity_type"]).startswith("gain"))
    everything = held("storage", is_barrel=True) + held("storage", is_barrel=False)
    assert came + gained - went == everything


def test_finished_goods_by_day(lived, told):
    # 521 bottles of 750 mL at 90 proof are 92.90 (19.582, 30.52): 30 cases of 12 and 1 case sold,
    # 1 bottle sampled, 148 left; 31 cases are 372 bottles, 66.33.
    ((head, rows),) = told(lived(3), "finished-products", "2026-03-01", "2026-03-31")
    assert (head["product"], head["bottle_size"]) == ("Point gin", "750 mL")
    assert figures(rows, "bottled_or_packaged_bottles") == [521]
    assert figures(rows, "bottled_or_packaged_qty") == [Decimal("92.90")]
    gone = {row["disposition_class"] for row in rows if row.get("disposition_class")}
    assert gone == {"tax determined", "samples, research or testing"}
    assert figures(rows, "disposition_bottles") == [360, 12, 1]
    closing = [row for row in rows if "closing_bottles" in row][-1]
    assert closing["closing_bottles"] == 148
    assert closing["closing_qty"] == to_decimal(
        sum(row.proof_gallons for row in Holding.objects.filter(LIVE, account="finished"))
    )


def test_a_reversal_stands_in_the_record_and_undoes_it(lived, told):
    world = lived(1)
    world.record(
        "receive-in-bond", "2026-02-10", consignor="Skerry (invented)", registry="DSP-XX-00001",
        document="SK-9", consigned="95 PG", seals="intact", account="storage", vessel="S-2",
        family="rum", gauge={"volume": "50 gal", "temperature": "60 F", "proof": "190"},
    )  # fmt: skip
    number = world.premises.entries.order_by("-number").first().number
    world.record("reverse", "2026-02-11", entry=number, reason="typed twice")
    span = Span(world.premises, date(2026, 2, 1), date(2026, 2, 28))
    (fill,) = [fill for fill in fills(span) if fill.vessel.code == "S-2"]
    assert [step.deposited for step in fill.steps] == [9500, -9500]
    assert fill.balance == 0
    ((_, rows),) = told(world, "corrections", "2026-02-01", "2026-02-28")
    assert rows[0]["reason"] == "typed twice"
