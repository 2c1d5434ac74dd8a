"""Losses against the limits of 27 CFR 19.462; the rows carry their source."""

from decimal import Decimal

import pytest

from distillery.loss_limits import tank_test, transit_test
from ledger.quantities import to_hundredths
from tests.rule_cases import rows


def hundredths(given, name):
    return to_hundredths(Decimal(given[name]))


@pytest.mark.parametrize("row", rows("excessive_transit_loss"))
def test_a_loss_in_transit(row):
    given = row["input"]
    test = transit_test(hundredths(given, "consigned_pg"), hundredths(given, "received_pg"))
    assert test.is_excessive == row["expect"]["excessive"], row["source"]
    assert round(float(test.percent), 2) == float(row["expect"]["loss_percent"])


TANKS = [row for row in rows("excessive_storage_loss") if row.id != "storage-loss-barrels"]


@pytest.mark.parametrize("row", TANKS)
def test_a_quarters_loss_from_tanks(row):
    given = row["input"]
    names = ("tanks_opening_pg", "tanks_received_pg", "tanks_lost_pg")
    test = tank_test(*(hundredths(given, name) for name in names))
    assert test.is_excessive == row["expect"]["excessive"], row["source"]
    assert round(float(test.percent), 4) == float(row["expect"]["loss_percent"])


def test_nothing_lost_is_never_excessive():
    # 27 CFR 19.462(e): a loss that exceeds; nothing over nothing does not
    assert not tank_test(0, 0, 0).is_excessive
