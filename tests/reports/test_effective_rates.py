"""Effective rates against the check cases; the source stands in each row."""

from decimal import Decimal

import pytest

from reports.effective_rates import (
    Batch,
    Deposit,
    Wine,
    average_rate,
    credited,
    standard_flavor,
    used_up,
)
from tests.reports import filing_cases
from tests.rule_cases import rows


def batch_of(case):
    """The batch of a row of filing_cases."""
    wines = tuple(
        Wine(Decimal(w["wine_gallons"]), Decimal(w["abv"]), Decimal(w["rate"]))
        for w in case["wine"]
    )
    return Batch(Decimal(case["spirits_pg"]), wines, Decimal(case["flavor_pg"]))


@pytest.mark.parametrize("row", filing_cases.rows("effective_rate"))
def test_the_effective_rate_of_a_batch(row):
    batch, expected = batch_of(row["input"]), row["expect"]
    rate = Decimal(row["input"]["rate"])
    found = {
        "total_pg": batch.proof_gallons,
        "flavor_excess_pg": batch.taxed_flavors,
        "numerator": batch.tax(rate),
        "rate_to_cents": batch.effective_rate(rate),
    }
    for name, value in expected.items():
        assert found[name] == Decimal(value), (name, row["source"])


def test_a_credit_never_takes_a_rate_below_zero():
    # filing case cert-floor; the general effective rate 10.27 is that of 27 CFR 19.246(c)
    general, effective = Decimal("13.50"), Decimal("10.27")
    rates = [Decimal("13.50"), Decimal("13.34"), Decimal("2.70")]
    found = [credited(rate, general=general, effective=effective) for rate in rates]
    assert found == [Decimal("10.27"), Decimal("10.11"), Decimal(0)]


@pytest.mark.parametrize("row", rows("average_effective_rate"))
def test_an_average_rate_is_the_quotient_of_six_months(row):
    months = [(Decimal(m["pg"]), Decimal(m["tax"])) for m in row["input"]["months"]]
    assert average_rate(months) == Decimal(row["expect"]["rate_cents"]), row["source"]
    # A seventh month before them changes nothing.
    assert average_rate([(Decimal(9), Decimal(1)), *months]) == Decimal("12.50")


@pytest.mark.parametrize("row", rows("inventory_reserve"))
def test_a_reserve_is_used_up_in_order_of_entry(row):
    deposits = [
        Deposit(d["serial"], Decimal(d["pg"]), Decimal(d["rate"])) for d in row["input"]["deposits"]
    ]
    parts, rest = used_up(deposits, [Decimal(text) for text in row["input"]["removals"]])
    expected = row["expect"]
    assert [[serial, str(taken)] for serial, taken, _ in parts] == expected["depletions"]
    assert {serial: str(left) for serial, left in rest.items()} == expected["remaining"]
    assert sum(taken * rate for _, taken, rate in parts) == Decimal(expected["tax"])


def test_a_reserve_cannot_give_what_it_has_not():
    # 27 CFR 19.614(c): each disposal is drawn from deposits
    with pytest.raises(ValueError, match="short by 1"):
        used_up([Deposit("B1", Decimal(1), Decimal(13))], [Decimal(2)])


@pytest.mark.parametrize("row", rows("standard_effective_rate"))
def test_a_standard_rate_uses_at_most_a_fortieth(row):
    least = Decimal(row["input"]["least_flavor_pg_per_pg"])
    assert standard_flavor(least) == Decimal(row["expect"]["flavor_used"]), row["source"]
