"""A plant's year entered as records, and the month-end figures it must give.

The figures are a worked example of our own making on an invented plant: twelve barrels of
bourbon, a gin redistilled in processing, a count that comes out one bottle short, a dump, a
shipment in bond. They were worked out by hand to the tenth beforehand, apart from this code.
One of them was added from rounded parts: from September on, finished goods are 47.8 by the
exact book (4.81 and 43.02 proof gallons), not 47.9 (4.8 and 43.1).
"""

from datetime import date
from typing import Any

import pytest

from distillery.recording import Asked
from ledger.models import Holding
from ledger.models.book import LIVE
from ledger.quantities import to_decimal
from reports.month_end import close_month, filings_of
from tests.world import World, make_barrels, make_vessel, make_world

pytestmark = pytest.mark.django_db


def gauge(volume: str, proof: str) -> dict[str, str]:
    """A gauge by volume at 60 °F."""
    return {"volume": f"{volume} gal", "temperature": "60 F", "proof": proof}


def january(world: World) -> None:
    """Grain, two mashes, a run, 150.0 into S-1, and twelve barrels of 11.8."""
    for material, pounds in (("CORN", 6000), ("RYE", 1500), ("MALT", 1000)):
        world.record(
            "receive-material", "2026-01-05", material=material, quantity=f"{pounds} lb",
            vessel="BIN-1", lot=material, supplier="Dune Grain (invented)",
        )  # fmt: skip
    for number in (1, 2):
        world.record(
            "mash", "2026-01-20", into=f"BIG-{number}", wash="500 gal",
            grains=[
                {"lot": "CORN", "quantity": "650 lb"},
                {"lot": "RYE", "quantity": "200 lb"},
                {"lot": "MALT", "quantity": "100 lb"},
            ],
        )  # fmt: skip
    world.record(
        "charge", "2026-01-29 07:00", still="WIDE", family="whisky", type_code="bourbon",
        sources=[{"vessel": "BIG-1"}, {"vessel": "BIG-2"}],
    )  # fmt: skip
    world.record(
        "collect", "2026-01-29 15:00", still="WIDE", fraction="hearts", into="RX",
        gauge=gauge("111.94", "134.0"),
    )  # fmt: skip
    world.record("close-run", "2026-01-29 17:00", still="WIDE")
    world.record(
        "production-gauge", "2026-01-29 17:30", vessel="RX", gauge=gauge("111.94", "134.0"),
        account="storage", into="S-1", family="whisky", type_code="bourbon",
        distilled_at="134.0",
    )  # fmt: skip
    world.record("reduce", "2026-01-30 09:00", vessel="S-1", to_proof="118.0")
    world.record(
        "fill-barrels", "2026-01-30 11:00", vessel="S-1", each="10 gal", proof="118.0",
        barrels=[{"barrel": f"L-{number}"} for number in range(1, 13)],
        after=gauge("7.03", "118.0"),
    )  # fmt: skip


def february(world: World) -> None:
    """220.0 of neutral spirits consigned, 219.6 received."""
    world.record(
        "receive-in-bond", "2026-02-10", consignor="Skerry (invented)",
        registry="DSP-XX-00001", document="SK-1", consigned="220.0 PG", seals="intact",
        account="storage", vessel="S-2", family="spirits", distilled_at="190",
        gauge=gauge("115.58", "190"),
    )  # fmt: skip


def march(world: World) -> None:
    """Gin redistilled inside processing, bottled, sold, sampled; the quarter's inventory."""
    world.record(
        "dump", "2026-03-03 09:00", into="P-1", lot="BATCH-1",
        vessels=[{"vessel": "S-2", "part": True, **gauge("52.63", "190")}],
    )  # fmt: skip
    world.record(
        "still-charge-processing", "2026-03-04 08:00", still="COL", formula="1",
        sources=[{"vessel": "P-1"}], family="gin", type_code="distilled gin",
        confirm=["strong-charge"],
    )  # fmt: skip
    world.record(
        "still-collect-processing", "2026-03-04 16:00", still="COL", ends=True,
        outputs=[
            {"vessel": "BT-1", "what": "spirits", "family": "gin",
             "type_code": "distilled gin", **gauge("58.50", "160")},
            {"vessel": "P-2", "what": "feints", **gauge("3.90", "100")},
        ],
    )  # fmt: skip
    world.record("reduce", "2026-03-05 09:00", vessel="BT-1", to_proof="90.0")
    world.record(
        "open-bottling", "2026-03-06 09:00", vessel="BT-1", product="GIN-750", lot="GIN",
        gauge=gauge("103.56", "90.0"),
    )  # fmt: skip
    world.record("bottle", "2026-03-06 15:00", vessel="BT-1", store="STORE", cases="43", loose="5")
    world.record("close-bottling", "2026-03-06 16:00", vessel="BT-1")
    for day, document, cases in (("25", "501", "30"), ("27", "502", "1")):
        world.record(
            "remove", f"2026-03-{day} 10:00", document=document, consignee="A shop (invented)",
            rows=[{"lot": "GIN", "cases": cases}], initials="a",
        )  # fmt: skip
    world.record(
        "sample", "2026-03-28", vessel="STORE", lot="GIN", bottles="1", purpose="laboratory",
        disposition="sent out", recipient="A laboratory (invented)",
    )  # fmt: skip
    world.record(
        "count", "2026-03-31 17:00", kind="quarter", counter="Ada", counter_title="Owner",
        statement=True,
        rows=[
            {"vessel": "S-2", **gauge("62.84", "190")},
            {"vessel": "S-1", "as_book": True},
            {"vessel": "P-2", "as_book": True},
        ],
    )  # fmt: skip


def second_quarter(world: World) -> None:
    """Ten cases sold; the bottled count finds 27 of 28."""
    world.record(
        "remove", "2026-05-12", document="503", consignee="A shop (invented)",
        rows=[{"lot": "GIN", "cases": "10"}], initials="a",
    )  # fmt: skip
    world.record(
        "count", "2026-06-30 17:00", kind="bottled", counter="Ada", counter_title="Owner",
        statement=True, rows=[{"vessel": "STORE", "lot": "GIN", "bottles": "27"}],
    )  # fmt: skip


def september(world: World) -> None:
    """Four barrels dumped and bottled as bourbon."""
    world.record(
        "dump", "2026-09-14 09:00", into="BT-1", lot="BATCH-2", name="Bourbon whisky",
        gauge=gauge("37.18", "117.0"),
        vessels=[{"vessel": f"L-{number}"} for number in range(1, 5)],
    )  # fmt: skip
    world.record("reduce", "2026-09-14 11:00", vessel="BT-1", to_proof="92.0")
    world.record(
        "open-bottling", "2026-09-15 09:00", vessel="BT-1", product="BOURBON-750", lot="BBN",
        gauge=gauge("46.96", "92.0"),
    )  # fmt: skip
    world.record("bottle", "2026-09-15 14:00", vessel="BT-1", store="STORE", cases="39", loose="2")
    world.record("close-bottling", "2026-09-15 15:00", vessel="BT-1")


def october(world: World) -> None:
    """Two sealed barrels shipped in bond at their entry gauge."""
    world.record(
        "ship-in-bond", "2026-10-06", consignee="Skerry (invented)", registry="DSP-XX-00001",
        vessels=[{"vessel": "L-5"}, {"vessel": "L-6"}], sealed=True, seals="1, 2",
    )  # fmt: skip


ACTS = {1: january, 2: february, 3: march, 5: second_quarter, 9: september, 10: october}
# month: storage opening, in, out, loss, closing; processing bulk; finished
TABLE = {
    1: ("0.0", "150.0", "0.0", "0.1", "149.9", "0.0", "0.0"),
    2: ("149.9", "219.6", "0.0", "0.0", "369.5", "0.0", "0.0"),
    3: ("369.5", "0.0", "100.0", "0.2", "269.3", "3.9", "26.4"),
    6: ("269.3", "0.0", "0.0", "0.0", "269.3", "3.9", "4.8"),
    9: ("269.3", "0.0", "43.5", "3.7", "222.1", "3.9", "47.8"),
    10: ("222.1", "0.0", "23.6", "0.0", "198.5", "3.9", "47.8"),
}


def make_lifecycle() -> World:
    """The plant with tuns and a still large enough, and twelve ten-gallon barrels."""
    world = make_world()
    for code, kind in (("BIG-1", "fermenter"), ("BIG-2", "fermenter"), ("WIDE", "still"),
                       ("RX", "receiver")):  # fmt: skip
        make_vessel(world.premises, code, kind)
    make_barrels(world.premises, *(f"L-{number}" for number in range(1, 13)), rated=10)
    return world


def live_year(world: World, upto: int) -> None:
    """The acts of each month up to *upto*, every month before it closed."""
    for month in range(1, upto + 1):
        if month in ACTS:
            _answering(world, ACTS[month])
        if month < upto:
            close_month(world.premises, date(2026, month, 1), by="ada")


def _answering(world: World, act: Any) -> None:
    """Let the month's acts answer the one question each may raise as an owner would."""
    record = world.record

    def answered(operation: str, at: str, **fields: Any) -> Any:
        try:
            return record(operation, at, **fields)
        except Asked as asked:
            codes = [question.code for question in asked.plan.questions]
            return record(operation, at, **{**fields, "confirm": codes})

    world.record = answered  # type: ignore[method-assign]
    act(world)
    world.record = record  # type: ignore[method-assign]


def held(*accounts: str) -> str:
    """Proof gallons in *accounts* now, to the tenth as the example prints them."""
    rows = Holding.objects.filter(LIVE, account__in=accounts)
    total = sum(row.proof_gallons for row in rows)
    return f"{to_decimal(total):.1f}"


def storage_row(world: World, month: int) -> tuple[str, ...]:
    """Opening, in, out, loss and closing of the storage report, to the tenth."""
    filings = filings_of(world.premises, date(2026, month, 1))
    (part,) = filings.forms["storage", "domestic"].parts

    def lines(*numbers: int) -> str:
        return f"{to_decimal(sum(part.value(str(n)) for n in numbers)):.1f}"

    return lines(1), lines(2, 3, 4, 5), lines(*range(7, 21)), lines(22), lines(23)


@pytest.mark.parametrize("month", TABLE)
def test_the_month_ends_as_worked_out_by_hand(month):
    world = make_lifecycle()
    live_year(world, month)
    _, _, _, _, closing, bulk, finished = TABLE[month]
    assert (held("storage"), held("processing"), held("finished")) == (closing, bulk, finished)


@pytest.mark.parametrize("month", TABLE)
def test_the_storage_report_says_the_same(month):
    world = make_lifecycle()
    live_year(world, month)
    assert storage_row(world, month) == TABLE[month][:5]


def test_the_shortage_of_june_is_taxed():
    """An unexplained bottled shortage is taxed (27 CFR 19.465)."""
    world = make_lifecycle()
    live_year(world, 6)
    filings = filings_of(world.premises, date(2026, 6, 1))
    assert to_decimal(filings.tax.book_proof_gallons) == to_decimal(18)


def test_every_month_of_the_year_ties():
    world = make_lifecycle()
    live_year(world, 11)
    for month in range(1, 11):
        failed = [one for one in filings_of(world.premises, date(2026, month, 1)).checks
                  if not one.holds]  # fmt: skip
        assert not failed, failed
