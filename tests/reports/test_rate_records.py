"""The records of effective tax rates: 27 CFR 19.613 (average), 19.614 (reserve), 19.615 (standard).

The batch is that of 19.246(c): 2,249.1 PG of spirits, 1,021.8 of wine and 100.9 of flavors.
"""

from datetime import date
from decimal import Decimal

import pytest

from distillery.papers.record_bundle import file_of
from distillery.records import kinds
from distillery.records.span import Span
from ledger.models import Lot
from ledger.plan import Leg, Place
from reports.batch_content import Contents
from reports.kept_rates import by_batch, keep, standard
from reports.models import EligibleContent
from tests.reports.liqueurs import bottle, mixed, remove
from tests.world import make_world

pytestmark = pytest.mark.django_db
GENERAL = Decimal("13.50")


@pytest.fixture
def book(db):
    world = make_world()
    book = mixed(world)
    for lot in ("W-14", "W-19", "VAN-1"):
        EligibleContent.objects.create(
            premises=world.premises, lot=lot, why="approval (invented)", marked_by="ada"
        )
    return book


def rows(book, slug, first=date(2026, 1, 1), last=date(2026, 4, 30)):
    book.premises.refresh_from_db()
    span = Span(book.premises, first, last)
    return [{**row.cells, "total": row.is_total} for row in kinds()[slug].rows(span)]


def test_the_average_record_tells_each_batch_and_the_six_months(book):
    # 142.65 and 71.33 PG bottled, to a tenth; 1021.8 and 100.9 of 3,371.8 are wine and flavor
    bottle(book, "2026-04-06 09:00", "K-2", 600)
    found = rows(book, "average-effective-rate")
    parts = [(row["batch_serials"], *(str(row[f"pg_from_{name}"]) for name in (
        "spirits", "wine", "flavors")), str(row["tax_of_batch"])) for row in found
        if not row["total"]]  # fmt: skip
    assert parts == [
        ("K-1", "95.2", "43.2", "4.3", "1464.83"), ("K-2", "47.6", "21.6", "2.1", "731.90"),
    ]  # fmt: skip
    ends = [(row["date"], str(row["total_pg"]), str(row["tax_of_batch"]), str(row["average_rate"]))
            for row in found if row["total"]]  # fmt: skip
    assert ends == [
        ("2026-03-31", "142.7", "1464.83", "10.27"), ("2026-04-30", "214.0", "2196.73", "10.27"),
    ]  # fmt: skip


def test_the_reserve_goes_down_by_every_disposal(book):
    # 27 CFR 19.614(c): removal, shortage and breakage alike
    lot = Lot.objects.get(code="K-1")
    worked = by_batch(Contents(book.premises).of(lot), GENERAL)
    keep(book.premises, "batch", worked, effective=date(2026, 3, 5), by="ada", lot="K-1")
    remove(book, "2026-03-20 10:00", "501", "K-1", 120)
    for at, to, purpose in (
        ("2026-03-21 10:00", "loss", "breakage"), ("2026-03-22 10:00", "shortage", "count"),
    ):  # fmt: skip
        book.post(at, Leg(Place("finished", "K-1", "STORE"), Place(to, "K-1"), purpose,
                          12, 238, 143))  # fmt: skip
    found = [(row["what"], str(row["pg_deposited"] or row["pg_disposed"]), str(row["pg_left"]),
              str(row["rate"])) for row in rows(book, "inventory-reserve")]  # fmt: skip
    assert found == [
        ("finished", "142.7", "142.7", "10.27"), ("tax determined", "14.3", "128.4", "10.27"),
        ("loss", "1.4", "127.0", "10.27"), ("shortage", "1.4", "125.5", "10.27"),
    ]  # fmt: skip


def test_a_disposal_takes_from_the_oldest_deposit_whichever_lot_is_named(book):
    """142.65 PG of K-1, then 71.33 of K-2: 120 bottles of K-2 go (14.27), then 1,200 of K-1.

    27 CFR 19.614: used up in order of entry; what is larger than the rest of a deposit closes it
    and runs into the next.
    """
    bottle(book, "2026-04-06 09:00", "K-2", 600)
    worked = by_batch(Contents(book.premises).of(Lot.objects.get(code="K-1")), GENERAL)
    for lot in ("K-1", "K-2"):
        keep(book.premises, "batch", worked, effective=date(2026, 3, 5), by="ada", lot=lot)
    remove(book, "2026-04-08 10:00", "501", "K-2", 120)
    remove(book, "2026-04-09 10:00", "502", "K-1", 1200)
    found = [(row["document"], row["bottling_serial"], str(row["pg_disposed"]),
              str(row["pg_left"])) for row in rows(book, "inventory-reserve")
             if row["pg_disposed"]]  # fmt: skip
    assert found == [
        ("501", "K-1", "14.3", "128.4"), ("502", "K-1", "128.4", "0.0"),
        ("502", "K-2", "14.3", "57.1"),
    ]  # fmt: skip
    remove(book, "2026-04-10 10:00", "503", "K-2", 480)
    assert rows(book, "inventory-reserve")[-1]["pg_left"] == 0


def test_a_lot_without_a_kept_rate_is_in_no_reserve(book):
    assert rows(book, "inventory-reserve") == []


def test_the_standard_record_tells_what_the_rate_rests_on(book):
    worked = standard(
        least_flavor=Decimal("0.031"), wine_gallons=Decimal(0), wine_abv=Decimal(0), general=GENERAL
    )
    keep(book.premises, "standard", worked, effective=date(2026, 3, 1), by="ada", product="LIQ-750")
    (row,) = rows(book, "standard-effective-rate")
    told = {name: str(row[name]) for name in (
        "product", "start_date", "least_flavor_pg", "flavor_used_pg", "greatest_rate")}  # fmt: skip
    assert told == {
        "product": "LIQ-750", "start_date": "2026-03-01", "least_flavor_pg": "0.031",
        "flavor_used_pg": "0.025", "greatest_rate": "13.16",
    }  # fmt: skip
    assert rows(book, "standard-effective-rate", last=date(2026, 2, 28)) == []


@pytest.mark.parametrize("slug", [
    "average-effective-rate", "inventory-reserve", "standard-effective-rate",
])  # fmt: skip
def test_each_stands_among_the_records_and_prints(book, slug):
    kind = kinds()[slug]
    span = Span(book.premises, date(2026, 1, 1), date(2026, 4, 30))
    assert file_of(kind, span, "pdf").startswith(b"%PDF")
    assert "Industry Circular 2022-3 was not read" in kind.notes[-1]
