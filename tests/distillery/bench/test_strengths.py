"""Fill weights, expected readings and 20 °C against the law, the pharmacopeia and old tables."""

from decimal import Decimal

import pytest

from distillery.bench.abv_at_20c import abv_at_20c, mass_fraction
from distillery.bench.expected_reading import readings_for
from distillery.bench.fill_weight import scale_words
from ledger.gauging import GaugingError, density, true_proof
from tests.distillery.bench.working import figure, refused, worked
from tests.ledger.gauging.published import row, rows


def test_a_gallon_of_194_proof():
    """27 CFR 30.44(c): 6.73 lb, marked 6 lb 12 oz."""
    _, printed = row("c44-194-1gal")
    typed = {"volume": "1 gal", "proof": "194"}
    assert figure("fill-weight", "net weight", **typed) == printed["pounds_unrounded"]
    assert "On the scale 6 lb 12 oz" in " ".join(worked("fill-weight", **typed).slip.steps)


@pytest.mark.parametrize(("given", "printed"), rows("container_fill_weight"))
def test_small_packages_are_marked_as_the_law_prints(given, printed):
    """27 CFR 30.44(b), (c): pounds and ounces, a part of an ounce counting as one."""
    steps = worked("fill-weight", volume=given["wine_gallons"], proof=given["proof"]).slip.steps
    told = f"{printed['pounds']} lb {printed['ounces']} oz"
    assert f"On the scale {told} (" in steps[3]


def test_larger_packages_go_by_half_pounds():
    """27 CFR 30.44(a)."""
    assert scale_words(Decimal("52.6"), Decimal("397.66")) == "397.5 lb"
    assert scale_words(Decimal("52.6"), Decimal("397.75")) == "398.0 lb"


def test_a_hundred_gallons_differ_from_print_by_one_known_digit():
    """27 CFR 30.65 prints 679.43 lb for 190 proof; the computed Table 5 line gives 679.45."""
    _, printed = row("t5-ex-100wg")
    found = figure("fill-weight", "net weight", volume=100, proof=190)
    assert abs(found - printed["net_weight_lb"]) <= Decimal("0.02")


def test_a_warm_fill_weighs_less():
    """27 CFR 30.67: 1,000 gallons of 190 proof at 76 °F are 991 at 60 °F."""
    _, printed = row("t7-ex-1000")
    typed = {"volume": "1000", "proof": "190", "temperature": "76 F", "tare": "90"}
    steps = worked("fill-weight", **typed).slip.steps
    assert f"= {printed['wine_gallons_60F']}.0000 gal at 60 °F" in steps[1]
    gross, net = (figure("fill-weight", f"{name} weight", **typed) for name in ("gross", "net"))
    assert gross - net == 90
    assert worked("fill-weight", **typed).carried == {"each": "991.00", "proof": "190.0"}


@pytest.mark.parametrize(("given", "printed"), rows("table1_true_proof"))
def test_the_expected_reading_is_table_1_backwards(given, printed):
    """The cells of Table 1 that the regulations print."""
    low, high = readings_for(printed["true_proof"], Decimal(given["temperature_F"]))
    assert low <= given["hydrometer_reading_proof"] <= high


@pytest.mark.parametrize("proof", [0, 1, 40, 80, "92.4", 101, 130, 160, 195])
def test_what_is_expected_reads_back(proof):
    """27 CFR 30.23: through Table 1 the reading gives the proof again."""
    for warmth in (60, "67.5", 75):
        reading = figure("expected-reading", "reading", proof=proof, temperature=warmth)
        # A reading is given to 0.1, and a tenth of reading may be more than one of proof.
        assert abs(true_proof(reading, warmth) - Decimal(proof)) <= Decimal("0.1")


@pytest.mark.parametrize(("given", "printed"), rows("glass_hydrometer_reading_historic"))
def test_a_century_old_table_of_glass_hydrometers_agrees(given, printed):
    """Independent of ours: Tralles' readings by true strength, good to a quarter percent."""
    strength, warmth = given["true_abv_percent_60F"] * 2, Decimal(given["temperature_F"])
    if printed["hydrometer_reading_abv_percent"] <= 0:
        with pytest.raises(GaugingError):
            readings_for(strength, warmth)
        return
    low, high = readings_for(strength, warmth)
    off = (low + high) / 4 - printed["hydrometer_reading_abv_percent"]
    assert abs(off) <= Decimal("0.27")


@pytest.mark.parametrize(("given", "printed"), rows("abv60_to_mass_percent"))
def test_mass_by_density_agrees_with_the_pharmacopeia(given, printed):
    """United States Pharmacopeia, alcoholometric table at 60 °F."""
    found = mass_fraction(given["abv_percent_60F"] * 2) * 100
    assert abs(found - printed["mass_percent"]) <= Decimal("0.012")


def test_forty_percent_at_20_c_is_what_the_international_tables_say():
    """OIML R 22: 40 % by volume at 20 °C weighs 948.05 kg/m3, 33.30 % by mass (from memory)."""
    at_60f = figure("abv-at-20-c", "ABV at 60 °F", at_20c="40")
    fraction = mass_fraction(at_60f * 2)
    assert abs(fraction * 100 - Decimal("33.30")) < Decimal("0.01")
    assert abs(density(fraction, 20) - Decimal("948.05")) < Decimal("0.02")
    assert abs(abv_at_20c(at_60f * 2) - 40) < Decimal("0.01")


def test_both_ways_meet():
    for strength in (0, 20, 46, "57.15", 95):
        at_20c = figure("abv-at-20-c", "ABV at 20 °C", proof=f"{strength} %")
        back = figure("abv-at-20-c", "ABV at 60 °F", at_20c=at_20c)
        assert abs(back - Decimal(strength)) <= Decimal("0.01")


@pytest.mark.parametrize(
    ("slug", "typed", "name", "words"),
    [
        ("expected-reading", {"proof": "0", "temperature": "40"}, "__all__", "nearer to 60"),
        ("expected-reading", {"proof": "90", "temperature": "140"}, "__all__", "0 to 100 F"),
        ("abv-at-20-c", {"at_20c": "100"}, "__all__", "stronger than 200 proof"),
        ("abv-at-20-c", {}, "proof", "or that at 20 °C"),
        ("abv-at-20-c", {"at_20c": "40", "proof": "80"}, "proof", "or that at 20 °C"),
    ],
)
def test_what_cannot_be_is_told_beside_its_box(slug, typed, name, words):
    (sentence,) = refused(slug, **typed)[name]
    assert words in sentence
