"""What bottles are worth by their label, and which sizes the law lists."""

from distillery.fill import SIZES_ML, is_standard_size, worth


def test_twelve_of_750_are_what_ttb_prints():
    # TTB conversion tables: 9.00 L are 2.377548 wine gallons (27 CFR 19.582(a)).
    assert worth([(12, 900)], bottle_ml=750) == (238, 214)


def test_thirty_cases_are_64_2_proof_gallons():
    # 27 CFR 19.582, 30.52: 270 L x 0.264172 = 71.33 WG, x 90 / 100 = 64.19, which 27 CFR
    # 19.612(a) sums to 64.2.
    assert worth([(360, 900)], bottle_ml=750) == (7133, 6419)


def test_a_thousand_single_bottles_equal_the_thousand():
    # 27 CFR 19.582(b): rounded once, after multiplying.
    booked = (0, 0)
    for bottles in range(1, 1001):
        more = worth([(bottles, 900)], bottle_ml=750, booked=booked)
        assert min(more) >= 0
        booked = (booked[0] + more[0], booked[1] + more[1])
    assert booked == worth([(1000, 900)], bottle_ml=750) == (19813, 17832)


def test_the_law_lists_25_sizes():
    # 27 CFR 5.203(a) as amended by T.D. TTB-200, 90 FR 1876.
    assert len(set(SIZES_ML)) == 25


def test_473_and_600_ml_are_not_on_the_list():
    # 27 CFR 5.203(a)
    assert not any(map(is_standard_size, (473, 600, 4000)))
    assert all(map(is_standard_size, (700, 355, 3750)))
