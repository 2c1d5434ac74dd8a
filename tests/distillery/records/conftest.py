"""A year of the small plant, and its records of any days."""

from datetime import date

import pytest

from distillery.records import kinds
from distillery.records.span import Span
from tests.test_lifecycle import live_year, make_lifecycle


@pytest.fixture
def told():
    """``told(world, slug, first, last)``: the sheets of a record as (head, rows) of cells."""

    def read(world, slug, first, last):
        world.premises.refresh_from_db()
        span = Span(world.premises, date.fromisoformat(first), date.fromisoformat(last))
        return [
            ({one.name: cell for one, cell in sheet.facts}, [dict(row.cells) for row in sheet.rows])
            for sheet in kinds()[slug].sheets(span)
        ]

    return read


@pytest.fixture
def lived():
    """``lived(6)``: the plant after its first six months."""

    def live(months):
        world = make_lifecycle()
        live_year(world, months)
        return world

    return live
