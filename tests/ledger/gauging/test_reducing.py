"""Water to reduce as the regulations work it out, by weight and by Table 6."""

from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ledger.gauging import (
    GaugingError,
    gallons_of_water,
    half_up,
    pounds_of_water,
    proof_gallons_per_pound,
    water_to_reduce,
)

from .published import row

weights = st.decimals(1, 90000, places=1)
proofs = st.decimals(2, 200, places=1)


def test_water_to_reduce_by_weight():
    """27 CFR 30.64: 1,000 lb of 200 proof to 190."""
    assert pounds_of_water(net_lb=1000, proof=200, to_proof=190) == Decimal("82.03")


def test_water_to_reduce_by_table_6():
    """27 CFR 30.66: 1.84 printed for 191 to 188 with the quotient cut to 1.01, by rule 1.89."""
    given, printed = row("t6-red-191-188")
    asked = {"wine_gallons": given["wine_gallons"], "proof": 191, "to_proof": 188}
    cut = printed["quotient_printed"] * given["water_to"]
    assert half_up(cut, "0.01") - given["water_from"] == printed["water_gallons_printed"]
    assert gallons_of_water(**asked) == Decimal("1.89")


def test_water_to_reduce_to_100_proof():
    """27 CFR 30.66: 12.4276, which the law cuts to 12.42."""
    found = gallons_of_water(wine_gallons=100, proof=112, to_proof=100)
    assert found == Decimal("12.43")


@given(st.decimals(10, 5000, places=1), proofs, proofs)
def test_table_6_agrees_with_the_formula_on_water(volume, proof, wanted):
    assume(wanted <= proof)
    by_table = gallons_of_water(wine_gallons=volume, proof=proof, to_proof=wanted)
    by_formula = water_to_reduce(volume, proof, wanted)
    # A hundredth of a part in either of the table's figures, the wanted one times the ratio.
    allowed = Decimal("0.01") + volume / 100 * Decimal("0.012") * (1 + proof / wanted)
    assert abs(by_table - by_formula) <= allowed


@given(weights, proofs, proofs)
def test_weight_after_the_water_has_the_wanted_proof(net, proof, wanted):
    """Within the five decimals of the two factors, 27 CFR 30.64."""
    assume(wanted <= proof)
    after = net + pounds_of_water(net_lb=net, proof=proof, to_proof=wanted)
    kept = after * proof_gallons_per_pound(wanted) - net * proof_gallons_per_pound(proof)
    assert abs(kept) <= Decimal("0.01")


@pytest.mark.parametrize("reduce", [pounds_of_water, gallons_of_water])
@pytest.mark.parametrize(("proof", "wanted"), [(100, 110), (100, 0)])
def test_water_does_not_strengthen(reduce, proof, wanted):
    first = "net_lb" if reduce is pounds_of_water else "wine_gallons"
    with pytest.raises(GaugingError, match="Water brings"):
        reduce(**{first: 100}, proof=proof, to_proof=wanted)
