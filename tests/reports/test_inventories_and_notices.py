"""What the quarter's inventories and the notices of suspension do to the filings."""

from datetime import date

import pytest

from distillery.open_counts import start
from reports.filing import Wanted, render
from reports.inventories import warnings
from reports.month_book import read_book
from reports.month_end import close_month, filings_of
from reports.suspended import is_due
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = pytest.mark.django_db
MARCH, JUNE = date(2026, 3, 1), date(2026, 6, 1)
SIGNED = {"counter": "Ada", "counter_title": "distiller", "statement": True}


@pytest.fixture
def world():
    world = make_world()
    put(world, "storage", "S-2", "N-1", wine="63.00", proof="119.70")
    return world


def told(world, month):
    return warnings(read_book(world.premises, month))


def count(world, kind, at, **more):
    rows = [{"vessel": "S-2", "as_book": True}]
    return world.record("count", at, kind=kind, rows=rows, **SIGNED, **more)


@pytest.mark.parametrize("month", [1, 2, 4, 5, 7, 8, 10, 11])
def test_no_inventory_is_asked_for_in_another_month(world, month):
    # 27 CFR 19.312, 19.333, 19.371: at the end of each calendar quarter.
    assert told(world, date(2026, month, 1)) == []


def test_a_quarter_without_its_inventory_is_told_and_closes_all_the_same(world):
    assert ["inventory of tanks was not counted" in text for text in told(world, MARCH)] == [True]
    for month in (1, 2):
        close_month(world.premises, date(2026, month, 1), by="ada")
    done = close_month(world.premises, MARCH, by="ada")
    assert any("19.312, 19.333, 19.371" in text for text in done.warnings)


def test_half_years_want_the_bottled_goods_too(world):
    # 27 CFR 19.372: 30 June and 31 December.
    assert any("19.372" in text for text in told(world, JUNE))
    assert any("19.372" in text for text in told(world, date(2026, 12, 1)))
    assert not any("19.372" in text for text in told(world, MARCH))


def test_one_counted_is_not_asked_for(world):
    count(world, "quarter", "2026-04-02 09:00", as_of="2026-03-31")
    assert told(world, MARCH) == []


def test_one_not_finished_is_told(world):
    now = world.when("2026-03-31 09:00")
    start(world.premises, kind="quarter", as_of=now.date(), is_blind=True, by="ada", now=now)
    assert told(world, MARCH)[0] == (
        "Count 1 (quarter's inventory of tanks) is open and not signed."
    )


def suspend(world, **more):
    fields = {"kind": "suspension", "how": "letter", "effective_from": "2026-02-10", **more}
    world.record("notice", "2026-02-01 09:00", **fields)


def production(world, month):
    return filings_of(world.premises, month).forms["production", ""]


def test_no_production_report_is_due_for_a_whole_month_suspended(world):
    # 27 CFR 19.632(a)(1), 19.292
    suspend(world)
    assert is_due(production(world, date(2026, 2, 1)))
    assert not is_due(production(world, MARCH))
    assert "19.632(a)(1)" in production(world, MARCH).notes[0]
    text = render(world.premises, MARCH, Wanted(), "text").decode()
    assert "5110.40" not in text.split("5110.11")[0]
    assert "Not due" in render(world.premises, MARCH, Wanted("production"), "text").decode()


def test_what_was_made_is_reported_all_the_same(world):
    suspend(world)
    put(world, "redistil", "NS", "N-9", wine="50", proof="30", at="2026-03-02 09:00")
    act = {"still": "COL", "sources": [{"vessel": "NS"}], "family": "gin"}
    world.record("charge", "2026-03-10 09:00", confirm=["production-suspended"], **act)
    assert is_due(production(world, MARCH))


def test_the_month_says_so(world, client):
    suspend(world)
    for month in (1, 2):
        close_month(world.premises, date(2026, month, 1), by="ada")
    client.force_login(world.owner)
    page = client.get("/filings/2026-03/").content.decode()
    assert "not due, production is suspended by notice" in page
    assert "inventory of tanks was not counted" in page
