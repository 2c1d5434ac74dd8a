"""The daily summary of finished products where bottles are emptied again (27 CFR 19.601)."""

from decimal import Decimal

import pytest

from tests.distillery.records.test_more_acts import GIN, named, rows_of
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("operation", "into", "way"),
    [
        ("rework", "P-1", "dumped for further processing"),
        ("redistil-bottles", "NS", "to production for redistillation"),
    ],
)
def test_bottles_and_their_spirits_stand_in_one_row(told, operation, into, way):
    """Half of 24 bottles that carry 4.28 PG: 2.14 PG."""
    world = make_world()
    put(world, "finished", "STORE", "K-1", wine="4.76", proof="4.28", amount=24, **GIN)
    world.record(operation, "2026-03-25 09:00", bottles=[{"lot": "K-1", "cases": 1}], into=into,
                 confirm=["no-formula"])  # fmt: skip
    gone = [
        row for row in rows_of(told, world, "finished-products") if row.get("disposition_class")
    ]
    assert [named(row, "disposition_class", "disposition_bottles", "disposition_qty")
            for row in gone] == [(way, 12, Decimal("2.14"))]  # fmt: skip
