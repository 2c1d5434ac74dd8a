"""Sharing one gauge among vessels, and rows that carry a gauge."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from distillery.drawing import allocate
from distillery.gauged_rows import GaugedPart
from ledger.errors import BadFact


@given(st.integers(0, 10**7), st.lists(st.integers(0, 10**5), min_size=1).filter(any))
def test_the_parts_are_exactly_the_gauge(total, shares):
    parts = allocate(total, shares)
    assert sum(parts) == total
    for part, share in zip(parts, shares, strict=True):
        assert abs(part * sum(shares) - total * share) < sum(shares)


def test_the_largest_remainder_gets_the_odd_hundredth():
    assert allocate(4351, [1180, 1180, 1180]) == [1451, 1450, 1450]


def test_nothing_cannot_share_a_gauge():
    with pytest.raises(BadFact):
        allocate(100, [0, 0])


def test_a_row_drawn_again_on_a_page_knows_its_gauge():
    data = {"rows-0-net": "60 lb", "rows-0-proof": "118"}
    assert GaugedPart(data, prefix="rows-0").is_gauged
    assert not GaugedPart({"rows-0-net": ""}, prefix="rows-0").is_gauged
