"""Water and blends against the regulations' examples and the balance of mass and alcohol."""

from decimal import Decimal

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from distillery.bench.blend_to_target import second_gal
from distillery.recording import Refused
from ledger import gauging
from ledger.gauging import half_up, proof_gallons_per_pound
from tests.distillery.bench.working import figure, refused, worked
from tests.ledger.gauging.published import row

BY_VOLUME = {"volume": "100", "proof": "112", "to_proof": "100"}


def test_water_by_weight_is_the_laws():
    """27 CFR 30.64: 1,000 lb of 200 proof to 190 proof take 82.03 lb of water."""
    typed = {"net": "1,000", "proof": "200", "to_proof": "190"}
    assert figure("water-by-weight", "water", **typed) == Decimal("82.03")
    # 27 CFR 30.41: a pound of water is 0.120074 gallon.
    assert worked("water-by-weight", **typed).carried == {"water": "9.85"}


def test_reduced_by_weight_it_has_the_proof_gallons_of_before():
    """27 CFR 30.64: what was put in, weighed at the proof wanted."""
    water = figure("water-by-weight", "water", net=400, proof=141, to_proof=92)
    after = (400 + water) * proof_gallons_per_pound(92)
    assert abs(after - 400 * proof_gallons_per_pound(141)) < Decimal("0.01")


def test_water_by_volume_is_the_laws():
    """27 CFR 30.66 through Table 6: 100 gallons of 112 proof to 100 proof take 12.43."""
    result = worked("water-by-volume", **BY_VOLUME)
    assert dict(result.slip.result) == {"water": "12.43 gal", "afterwards": "112.00 gal"}
    assert result.carried == {"water": "12.43"}


def test_the_printed_example_of_191_proof_differs_by_its_rounded_quotient():
    """27 CFR 30.66 prints 1.84: it rounds 95.5 / 94 to 1.01 before it multiplies.

    Unrounded, 95.5 / 94.0 x 7.36 - 5.59 = 1.887; we give 1.88 from unrounded contents.
    """
    given, printed = row("t6-red-191-188")
    quotient = Decimal(str(given["alcohol_from"])) / Decimal(str(given["alcohol_to"]))
    by_table = quotient * given["water_to"] - given["water_from"]
    found = figure("water-by-volume", "water", volume=100, proof=191, to_proof=188)
    assert abs(found - by_table) <= Decimal("0.01")
    assert found - printed["water_gallons_printed"] == Decimal("0.04")


def test_the_naive_sum_is_shown_with_how_far_off_it_is():
    """12.00 gallons by volumes alone; the balance of mass then leaves 100.37 proof."""
    steps = " ".join(worked("water-by-volume", **BY_VOLUME).slip.steps)
    assert "contraction 0.43 gal" in steps
    assert "Volumes alone would say 12.00 gal. That leaves 100.37 proof, 0.37 too strong." in steps
    _, strength = gauging.blend(((100, 112), (12, 0)))
    assert half_up(strength, "0.01") == Decimal("100.37")


def test_from_near_130_to_92_as_the_trade_does():
    """Common practice, no source: spirits near 130 proof are brought to 92 to bottle."""
    typed = {"volume": "100", "proof": "130", "to_proof": "92"}
    assert 42 < figure("water-by-volume", "water", **typed) < 44


def test_two_stages_come_to_the_water_of_one():
    typed = {"volume": "100", "proof": "130", "to_proof": "92"}
    whole = figure("water-by-volume", "water", **typed)
    first = figure("staged-reduction", "water first", **typed)
    assert abs(first - whole * Decimal("0.9")) <= Decimal("0.01")
    found, strength = gauging.blend(((100, 130), (first, 0)))
    rest = figure(
        "staged-reduction", "rest of the water", **typed,
        found_volume=half_up(found, "0.01"), found_proof=half_up(strength, "0.1"),
    )  # fmt: skip
    # The gauge in between is read to 0.1 proof, which is worth 0.15 gallon here.
    assert abs(first + rest - whole) < Decimal("0.15")
    half = Decimal(worked("staged-reduction", **typed, share="50").carried["water"])
    assert abs(half - whole / 2) <= Decimal("0.01")


def test_a_blend_keeps_its_proof_gallons_and_shrinks():
    """27 CFR 30.51 for the proof gallons; the volume is less than the sum."""
    lots = {
        "lots-0-volume": "100", "lots-0-proof": "130", "lots-1-volume": "20", "lots-1-proof": "0",
        "lots-2-volume": "50", "lots-2-proof": "90",
    }  # fmt: skip
    assert figure("blend", "proof gallons", **lots) == Decimal("175.00")
    assert figure("blend", "gallons at 60 °F", **lots) < 170
    assert "proof too low: contraction" in worked("blend", **lots).slip.steps[-1]


def test_a_blend_with_water_is_a_reduction():
    """27 CFR 30.66 again, from the other side: 112 proof and water to 100."""
    typed = {**BY_VOLUME, "second_proof": "0"}
    assert figure("blend-to-a-proof", "of the second lot", **typed) == Decimal("12.43")
    lots = {
        "lots-0-volume": 100, "lots-0-proof": 112, "lots-1-volume": "12.43", "lots-1-proof": 0,
    }  # fmt: skip
    assert figure("blend", "proof", **lots) == 100


@settings(max_examples=100, deadline=None)
@given(
    first=st.decimals(0, 200, places=1), second=st.decimals(0, 200, places=1),
    to=st.decimals(1, 200, places=1),
)  # fmt: skip
def test_what_is_added_brings_the_proof(first, second, to):
    low, high = sorted((first, second))
    # The last tenth before either lot asks for more than any tank holds.
    assume(low + 1 <= to <= high - 1)
    more = second_gal(Decimal(100), first=first, second=second, to=to)
    assert more > 0
    _, strength = gauging.blend(((100, first), (more, second)))
    assert abs(strength - to) < Decimal("0.001")


@pytest.mark.parametrize(
    ("slug", "typed", "name", "words"),
    [
        ("water-by-volume", {**BY_VOLUME, "to_proof": "112"}, "to_proof", "less than that"),
        ("water-by-volume", {**BY_VOLUME, "to_proof": "0"}, "to_proof", "0.1 or more"),
        ("water-by-volume", {**BY_VOLUME, "volume": "0"}, "volume", "more than nothing"),
        (
            "water-by-weight", {"net": "0.0001", "proof": "190", "to_proof": "100"},
            "net", "a scale can show",
        ),
        ("staged-reduction", {**BY_VOLUME, "found_volume": "99"}, "found_proof", "or neither"),
        (
            "staged-reduction", {**BY_VOLUME, "found_volume": "99", "found_proof": "90"},
            "found_proof", "below 100.0 already",
        ),
        ("blend", {}, "lots", "at least one row"),
        ("blend", {"lots-0-volume": "9"}, "lots", "Row 1"),
        (
            "blend-to-a-proof", {**BY_VOLUME, "second_proof": "105"},
            "to_proof", "above 105.0 and below 112.0",
        ),
        ("blend-to-a-proof", {**BY_VOLUME, "second_proof": "112"}, "to_proof", "one strength"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_beside_its_box(slug, typed, name, words):
    (sentence,) = refused(slug, **typed)[name]
    assert words in sentence


@pytest.mark.parametrize("huge", ["9999999", "0.00000001"])
def test_extremes_have_an_answer_or_a_sentence(huge):
    """Neither the largest tank nor a drop ends in an error page."""
    for slug, more in (
        ("water-by-volume", {"proof": "200", "to_proof": "0.1"}),
        ("blend-to-a-proof", {"proof": "200", "to_proof": "0.1", "second_proof": "0"}),
        ("staged-reduction", {"proof": "200", "to_proof": "0.1"}),
    ):
        try:
            told = worked(slug, volume=huge, **more).slip.steps
        except Refused as refusal:
            told = (str(refusal),)
        assert all(told)
