"""A document stands in the records of the day on which its tax was determined (27 CFR 19.612)."""

from datetime import date

import pytest

from distillery.records import kinds
from distillery.records.span import Span
from reports.month_end import close_month
from tests.reports.state_removals import send, stocked

pytestmark = pytest.mark.django_db
JANUARY, FEBRUARY = (date(2026, 1, 1), date(2026, 1, 31)), (date(2026, 2, 1), date(2026, 2, 28))


@pytest.fixture
def world():
    """501 and 502 of 30 January; 502 was told once that was closed, and counts in February."""
    world = stocked()
    send(world, "501", "CA", at="2026-01-30 10:00", rows=[{"lot": "K-1", "cases": 2}])
    close_month(world.premises, date(2026, 1, 1), by="ada")
    world.premises.refresh_from_db()
    send(
        world, "502", "CA", at="2026-01-30 15:00", rows=[{"lot": "K-1", "cases": 1}], late="open",
        reason="found in the van", confirm=["tax-late"],
    )  # fmt: skip
    send(world, "503", "CA", at="2026-02-03 10:00", rows=[{"lot": "K-1", "cases": 1}])
    return world


def told(world, days, slug="tax-summary", column="document_serials"):
    world.premises.refresh_from_db()
    rows = kinds()[slug].rows(Span(world.premises, *days))
    return [str(row.cells[column]) for row in rows if not row.is_total]


def test_a_late_document_is_in_the_summary_of_its_day(world):
    assert told(world, JANUARY) == ["501", "502"]
    assert told(world, FEBRUARY) == ["503"]
    assert told(world, (JANUARY[0], FEBRUARY[1])) == ["501", "502", "503"]


def test_its_rates_stand_in_the_record_of_the_determination(world):
    rates = told(world, JANUARY, "tax-determination", "pg_per_effective_rate")
    # Cases of 12 of 750 mL at 90 proof are 2.14 PG (27 CFR 30.52): two, and one.
    assert rates == ["4.3 PG at $2.70", "2.1 PG at $2.70"]
