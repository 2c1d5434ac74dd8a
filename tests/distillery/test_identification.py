"""Lot identifications of packages, and the numbers on cases, by the letter of the sections."""

from datetime import date
from decimal import Decimal

import pytest

from distillery.case_serials import SERIES, Serials, printed
from distillery.loss_limits import WINE_FAR, transit_test
from distillery.packages import package_lot_code
from ledger.looking import Look
from tests.world import make_world

# 27 CFR 19.485(a): the last two digits of the year, a letter for the month, two for the day.
MONTHS = "ABCDEFGHIJKL"


@pytest.fixture
def look(db):
    world = make_world()
    return Look.now(world.premises, world.when("2026-01-30 12:00"))


@pytest.mark.parametrize(("month", "letter"), list(enumerate(MONTHS, 1)))
def test_a_month_is_a_letter(look, month, letter):
    assert package_lot_code(look, date(2026, month, 9)) == f"26{letter}09"


@pytest.mark.parametrize(
    ("before", "suffix"),
    [(0, ""), (1, "A"), (2, "B"), (26, "Z"), (27, "AA"), (28, "AB"), (52, "AZ"), (53, "BA")],
)
def test_the_lots_of_one_day_differ_by_their_suffix(look, before, suffix):
    # 27 CFR 19.485: A for the second lot; past Z it goes on with two letters (ours, no source)
    taken = []
    for _ in range(before):
        taken.append(package_lot_code(look, date(2030, 12, 31), taken=taken))
    assert package_lot_code(look, date(2030, 12, 31), taken=taken) == f"30L31{suffix}"
    assert len(set(taken)) == before


# The remnant case bears the last full case's number and R (common practice, no source);
# cases number from 1 to 1,000,000 and begin again (27 CFR 19.490).
@pytest.mark.parametrize(
    ("serials", "marked"),
    [
        (Serials(1, 43, 5), "1–43, 43R"),
        (Serials(1, 43, 0), "1–43"),
        (Serials(44, 44, 0), "44"),
        (Serials(44, 44, 11), "44, 44R"),
        (Serials(None, 43, 5), "43R"),
        (Serials(None, 43, 0), ""),
        (Serials(None, 0, 5), ""),
        (Serials(1, 3, 2, letters="P"), "P1–P3, P3R"),
        (Serials(SERIES, SERIES + 1, 1), "1000000–1, 1R"),
    ],
)
def test_what_is_marked_on_cases(serials, marked):
    assert str(serials) == marked


@pytest.mark.parametrize(
    ("running", "number"),
    [(1, 1), (999_999, 999_999), (1_000_000, 1_000_000), (1_000_001, 1), (2_000_000, 1_000_000)],
)
def test_a_series_begins_again_after_a_million(running, number):
    # 27 CFR 19.490
    assert printed(running) == number


@pytest.mark.parametrize(
    ("received", "excessive"), [("49000", False), ("48999", True), ("50001", False)]
)
def test_wine_from_coast_to_coast_may_lose_two_per_cent(received, excessive):
    # 27 CFR 19.462(d): 2 per cent of 500.00 are 10.00
    test = transit_test(50000, int(Decimal(received)), limit=WINE_FAR)
    assert test.is_excessive == excessive
