"""No entry of the book is missing from the records, the daily record of all movements apart.

27 CFR 19.571: records show all receipts, movements between accounts, and withdrawals.
"""

from datetime import UTC, date, datetime

import pytest

from distillery.demo.plant import open_log_ins, open_marram_point, owner_of
from distillery.demo.season import season
from distillery.records import kinds
from distillery.records.span import Span
from tests.distillery.barrel_house import lived_in

pytestmark = pytest.mark.django_db


def not_told(premises):
    """(number, operation) of each entry that no record of its own section tells."""
    premises.refresh_from_db()
    span = Span(premises, date(2025, 1, 1), date(2026, 12, 31))
    told = {
        row.entry.number
        for kind in kinds().values()
        if kind.slug != "daily-record"
        for row in kind.rows(span)
        if row.entry
    }
    return [(one.number, one.operation) for one in span.entries if one.number not in told]


def test_a_year_of_the_small_plant(lived):
    assert not_told(lived(10).premises) == []


def test_a_barrels_long_life():
    assert not_told(lived_in().premises) == []


def test_three_months_of_the_demo():
    premises = open_marram_point()
    open_log_ins(premises)
    until = datetime(2026, 3, 20, 22, tzinfo=UTC)
    list(season(premises, owner_of(premises), until=until, count=3))
    assert not_told(premises) == []
