"""The reconciliation over months: bridges that hold, the tank test, barrels, counts.

The months are invented and their figures worked out by hand in tests/reports/months.py.
"""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.models import Movement
from reports.bridge import Bridge, Step, bridges
from reports.reconciliation_pages import span_of
from reports.stock import bottled_stock, count_differences
from reports.storage_losses import barrel_losses, tank_loss
from reports.waterfall import WIDTH, waterfall
from tests.reports.months import FEBRUARY, JANUARY, MARCH, leg

RUNNING = date(2026, 6, 1)


def steps(book, account, first, last):
    found = {one.account: one for one in bridges(book.premises, first, last)}
    bridge = found[account]
    return bridge.opening, {step.title: step.value for step in bridge.steps}, bridge.closing


def test_storage_over_the_quarter(book):
    """150.00 made, 219.60 bought; 120.00 to redistil, 88.00 dumped, 6.40 lost at the dump."""
    opening, found, closing = steps(book, "storage", JANUARY, MARCH)
    assert (opening, closing) == (0, 15520)
    assert found == {
        "From production": 15000, "Received in bond": 21960,
        "To received for redistillation": -12000, "To processing": -8800, "Losses": -640,
    }  # fmt: skip


def test_a_month_opens_where_the_one_before_closed(book):
    january, march = (steps(book, "storage", month, month) for month in (JANUARY, MARCH))
    february = steps(book, "storage", FEBRUARY, FEBRUARY)
    assert (february[0], march[0]) == (january[2], february[2])


@pytest.mark.parametrize(
    "months", [(JANUARY, JANUARY), (FEBRUARY, FEBRUARY), (MARCH, MARCH), (JANUARY, MARCH)]
)
def test_every_bridge_leads_from_opening_to_closing(book, months):
    found = bridges(book.premises, *months)
    assert found
    assert all(one.holds for one in found)


def test_a_later_amendment_moves_the_bridge_of_its_month(book):
    before = steps(book, "storage", JANUARY, JANUARY)[2]
    book.post("2026-01-29 14:00", leg("storage S-1 S-1", "loss S-1", "leak", 0, 10))
    assert steps(book, "storage", JANUARY, JANUARY)[2] == before - 10


def test_tanks_are_measured_against_opening_and_receipts(book):
    """27 CFR 19.462(e): tanks received 32.00 and 219.60 PG; the barrels' 118.00 do not count."""
    test = tank_loss(book.premises, MARCH)
    assert (test.base, test.lost, test.is_excessive) == (25160, 0, False)


def test_a_tank_loss_above_the_limit_is_told(book):
    """1.5 % of 251.60 is 3.774: 3.77 is usual, 3.78 is not."""
    book.post("2026-03-20 09:00", leg("storage S-1 S-1", "loss S-1", "leak", 0, 377))
    assert not tank_loss(book.premises, MARCH).is_excessive
    book.post("2026-03-21 09:00", leg("storage S-1 S-1", "loss S-1", "leak", 0, 1))
    assert tank_loss(book.premises, MARCH).is_excessive


def test_the_opening_of_the_next_quarter_is_what_stood_in_tanks(book):
    test = tank_loss(book.premises, date(2026, 4, 1))
    # 32.00 and 219.60 less 120.00 drawn for redistillation
    assert (test.base, test.lost) == (13160, 0)


def test_a_barrel_that_lost_is_told_by_its_age(book):
    """94.40 PG filled, 88.00 dumped: 6.40 lost, 6.8 %."""
    (one,) = barrel_losses(book.premises, MARCH, MARCH)
    assert (one.years, one.barrels, one.filled, one.lost) == (0, 1, 9440, 640)
    assert round(one.percent, 1) == 6.8


def test_bottled_stock_by_product(book):
    (one,) = bottled_stock(book.premises)
    # 576 bottled, 360 and 12 removed, 1 short
    assert (one.bottles, one.cases, one.loose) == (203, 16, 11)


def test_what_a_count_found(book):
    (one,) = count_differences(book.premises, MARCH, MARCH)
    assert (one.proof_gallons, one.bottles, one.booked_as) == (
        -18, -1, "unexplained bottled shortage",
    )  # fmt: skip


@given(
    st.integers(0, 10**7),
    st.lists(st.integers(-(10**6), 10**6).filter(bool), max_size=8),
)
def test_the_picture_keeps_every_bar_inside(opening, values):
    bridge = Bridge("storage", "storage", opening, tuple(Step("a", v, v < -9) for v in values),
                    opening + sum(values))  # fmt: skip
    fall = waterfall(bridge)
    assert all(bar.x >= 0 and bar.x + bar.width <= WIDTH for bar in fall.bars)
    assert len(fall.bars) == len(values) + 2


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("2026-03", MARCH, MARCH), ("2026-Q1", JANUARY, MARCH),
        ("2026", JANUARY, date(2026, 12, 1)), ("", RUNNING, RUNNING),
    ],
)  # fmt: skip
def test_a_span_is_a_month_a_quarter_or_a_year(text, first, last):
    span = span_of(text, RUNNING)
    assert (span.first, span.last) == (first, last)


def test_the_page_draws_each_account(world, book, client):
    client.force_login(world.owner)
    page = client.get("/filings/reconciliation/?over=2026-Q1").content.decode()
    assert page.count("<svg") == len(bridges(book.premises, JANUARY, MARCH))
    assert client.get("/filings/reconciliation/?over=soon").status_code == 404


def test_the_paper_is_the_same_byte_for_byte(world, book, client):
    client.force_login(world.owner)
    papers = {client.get("/filings/reconciliation/paper.pdf?over=2026-Q1").content for _ in "ab"}
    assert len(papers) == 1
    assert Movement.objects.exists()
