"""The arithmetic of a botanical bill: parts, whole, and grams a liter of pure alcohol."""

from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from distillery.botanicals import bill, liters_of, loading
from ledger.models import Lot

AMOUNTS = st.integers(1, 10**8)  # hundredths of a gram, to a thousand kilograms
BASES = st.integers(1, 10**7)  # hundredths of a proof gallon


def lots(amounts: list[int], unit: str = "g") -> list[tuple[Lot, int]]:
    return [
        (Lot(pk=number, code=f"G-{number}", name="Botanical", unit=unit), amount)
        for number, amount in enumerate(amounts, start=1)
    ]


def test_a_proof_gallon_holds_half_a_gallon_of_alcohol():
    # 27 CFR 30.11: a proof gallon is a gallon at 100 proof, half alcohol by volume; a US gallon
    # of 231 cubic inches is 3.785411784 L (NIST Handbook 44, Appendix C)
    assert liters_of(100) == Decimal("1.892705892")


def test_a_pound_is_its_grams():
    # 453.59237 g, exactly (NIST Handbook 44, Appendix C)
    (line,) = bill(lots([100], "lb"), 100).lines
    assert line.grams == Decimal("453.59")


@given(AMOUNTS, BASES)
def test_it_is_total_grams_by_gallons_liters_and_strength(grams, proof):
    # loading = g / (gal x 3.785411784 x ABV): 100 proof is half alcohol (27 CFR 30.11)
    exact = Fraction(grams, 100) / (Fraction(proof, 100) * Fraction("3.785411784") / 2)
    found = loading(Decimal(grams) / 100, proof)
    assert found is not None
    assert abs(Fraction(found) - exact) <= Fraction(1, 200)


@given(st.lists(AMOUNTS, min_size=1, max_size=12), BASES)
def test_the_parts_are_the_whole(amounts, proof):
    whole = bill(lots(amounts), proof)
    assert whole.grams == sum(Decimal(amount) / 100 for amount in amounts)
    parts = [line.per_liter for line in whole.lines]
    assert None not in parts
    assert abs(sum(parts) - whole.per_liter) <= Decimal("0.005") * (len(parts) + 1)


@given(st.lists(AMOUNTS, min_size=1, max_size=6), BASES)
def test_a_lot_weighed_twice_is_one_line(amounts, proof):
    pairs = lots(amounts)
    twice = bill([*pairs, *pairs], proof)
    assert [line.amount for line in twice.lines] == [2 * amount for amount in amounts]


@given(st.lists(AMOUNTS, min_size=1, max_size=6))
def test_without_a_gauged_base_there_is_no_figure(amounts):
    one = bill(lots(amounts), None)
    assert (one.per_liter, one.slip()) == (None, ())


def test_what_is_not_weighed_has_no_grams():
    one = bill([*lots([5000]), (Lot(pk=9, code="G-9", name="Extract", unit="gal"), 200)], 100)
    assert [line.grams for line in one.lines] == [Decimal(50), None]
    assert one.grams == Decimal(50)
