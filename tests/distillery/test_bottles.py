"""Bottles are worth a share of their holding, and the shares add up to it."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from distillery.bottles import bottles_worth
from ledger.errors import BadFact
from ledger.looking import Held
from ledger.models import Lot, Vessel


def stock(bottles: int, wine: int, proof: int) -> Held:
    since = datetime(2026, 3, 20, tzinfo=UTC)
    return Held(Lot(code="K-1"), Vessel(code="STORE"), "finished", bottles, wine, proof, since)


def test_thirty_cases_come_within_a_hundredth_of_the_law():
    # 27 CFR 19.582(b), 30.52: 43 cases of 12 x 750 mL at 90 proof = 102.23 WG and 92.01 PG;
    # 30 of them by themselves are 71.33 WG and 64.20 PG.
    wine, proof = bottles_worth(stock(516, 10223, 9201), 360)
    assert abs(wine - 7133) <= 1
    assert abs(proof - 6420) <= 1


def test_the_last_bottle_takes_what_is_left():
    assert bottles_worth(stock(1, 19, 17), 1) == (19, 17)


def test_more_than_the_book_has_is_worth_more():
    assert bottles_worth(stock(2, 40, 36), 3) == (60, 54)


def test_a_holding_without_bottles_is_refused():
    with pytest.raises(BadFact, match="no bottles"):
        bottles_worth(stock(0, 40, 36), 1)


@given(st.integers(1, 300), st.integers(0, 10**6), st.integers(0, 10**6))
def test_singles_add_up_to_the_whole(bottles, wine, proof):
    taken = [0, 0]
    for left in range(bottles, 0, -1):
        worth = bottles_worth(stock(left, wine - taken[0], proof - taken[1]), 1)
        assert min(worth) >= 0
        taken = [have + more for have, more in zip(taken, worth, strict=True)]
    assert taken == [wine, proof]
