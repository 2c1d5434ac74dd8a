"""The plant of the reports' tests, with three hand-made months."""

import pytest

from tests.reports.months import Book, three_months
from tests.world import World, make_vessel, make_world


@pytest.fixture
def world(db) -> World:
    """The plant and its people, two barrels more, no entry."""
    world = make_world()
    for code in ("BBL-1", "BBL-2"):
        make_vessel(world.premises, code, "barrel", 120)
    return world


@pytest.fixture
def book(world: World) -> Book:
    """Three months of the book."""
    return three_months(world.premises)
