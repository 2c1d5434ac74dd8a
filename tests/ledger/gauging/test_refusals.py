"""What cannot be is refused with one plain sentence, never with a wrong number."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

import ledger.gauging as gauging
from ledger.gauging import GaugingError

UNFIT = [
    "",
    "  ",
    "abc",
    "1,5",
    "1_000",
    "nan",
    "-inf",
    "1e400",
    "9" * 40,
    float("nan"),
    None,
    True,
    [],
    b"5",
]
ONE_FIGURE = {
    "specific_gravity": gauging.specific_gravity,
    "proof_of": gauging.proof_of,
    "pounds_per_wine_gallon": gauging.pounds_per_wine_gallon,
    "wine_gallons_per_pound": gauging.wine_gallons_per_pound,
    "proof_gallons_per_pound": gauging.proof_gallons_per_pound,
    "true_proof": lambda figure: gauging.true_proof(figure, 60),
    "true_proof at": lambda figure: gauging.true_proof(100, figure),
    "volume_factor": lambda figure: gauging.volume_factor(figure, 60),
    "volume_factor at": lambda figure: gauging.volume_factor(100, figure),
    "density": lambda figure: gauging.density(figure, 20),
    "proof_gallons": lambda figure: gauging.proof_gallons(figure, 100),
    "water_to_reduce": lambda figure: gauging.water_to_reduce(10, 120, figure),
    "blend": lambda figure: gauging.blend([(figure, 100)]),
    "obscuration": lambda figure: gauging.obscuration(figure, apparent_proof=90),
    "solids_rule": gauging.solids_rule,
    "half_up": lambda figure: gauging.half_up(figure, "0.1"),
    "by weight": lambda figure: gauging.gauge_by_weight(net_lb=figure, proof=100),
    "parts_of_water": gauging.parts_of_water,
    "gravity_in_air": gauging.gravity_in_air,
    "pounds_per_proof_gallon": gauging.pounds_per_proof_gallon,
    "by table 6": lambda figure: gauging.gauge_by_table6(net_lb=figure, proof=100),
    "by table 3": lambda figure: gauging.table3_proof_gallons(net_lb=figure, proof=100),
    "fill_weight": lambda figure: gauging.fill_weight(wine_gallons=figure, proof=100),
    "pounds_of_water": lambda figure: gauging.pounds_of_water(
        net_lb=figure, proof=100, to_proof=80
    ),
    "largest_graduation": gauging.largest_graduation,
    "package_weight": lambda figure: gauging.package_weight(figure, capacity_gal=53),
    "batch": lambda figure: gauging.batch_proof_gallons(spirits_pg=figure),
    "distance": lambda figure: gauging.distance("7", 100, 60, figure=figure),
}


@pytest.mark.parametrize("figure", UNFIT, ids=repr)
@pytest.mark.parametrize("name", ONE_FIGURE)
def test_it_refuses_what_is_no_measure(name, figure):
    with pytest.raises(GaugingError) as refused:
        ONE_FIGURE[name](figure)
    assert is_a_sentence(str(refused.value))


def is_a_sentence(text):
    return text[0].isupper() and text.endswith(".") and "\n" not in text and len(text) < 160


REFUSED = {
    "proof above 200": lambda: gauging.specific_gravity("200.1"),
    "proof below 0": lambda: gauging.pounds_per_wine_gallon("-0.1"),
    "heavier than water": lambda: gauging.proof_of("1.0001"),
    "lighter than 200 proof": lambda: gauging.proof_of("0.7938"),
    "reading off the scale": lambda: gauging.true_proof(207, 60),
    "colder than the table": lambda: gauging.true_proof(100, "-0.1"),
    "warmer than the table": lambda: gauging.true_proof(100, "100.1"),
    "reading heavier than water": lambda: gauging.true_proof(0, 80),
    "reading above 200 proof": lambda: gauging.true_proof(200, 50),
    "reading far above 200 proof": lambda: gauging.true_proof(206, 0),
    "tank warmer than the table": lambda: gauging.volume_factor(100, 101),
    "a volume below zero": lambda: gauging.proof_gallons(-1, 100),
    "a volume no meter shows": lambda: gauging.proof_gallons("1e-500", 100),
    "a volume beyond sense": lambda: gauging.proof_gallons("1e10", 100),
    "water that would strengthen": lambda: gauging.water_to_reduce(10, 100, 101),
    "water down to nothing": lambda: gauging.water_to_reduce(10, 100, 0),
    "a blend of nothing": lambda: gauging.blend([]),
    "a blend of empty parts": lambda: gauging.blend([(0, 100), (0, 0)]),
    # 27 CFR 30.32(b): the evaporation method holds for 80 to 100 proof.
    "evaporation at 79 proof": lambda: gauging.obscuration("0.1", apparent_proof=79),
    "evaporation at 101 proof": lambda: gauging.obscuration("0.1", apparent_proof=101),
    # 27 CFR 30.31(c): above 600 mg the true proof is that of a restored distillate.
    "evaporation above 600 mg": lambda: gauging.obscuration("0.151", apparent_proof=90),
    "a gravity off the spindles": lambda: gauging.gravity_at_60f(
        reading="1.26", temperature_f=60, proof=100
    ),
    "heavier than water without being so": lambda: gauging.gauge_by_heavy_weight(
        net_lb=10, specific_gravity=1, proof=10
    ),
    "a proof gallon of water": lambda: gauging.pounds_per_proof_gallon(0),
    "wine gallons of no proof": lambda: gauging.table3_wine_gallons(net_lb=10, proof=0),
    "a scale of nothing": lambda: gauging.largest_graduation(0),
    "wine above pure": lambda: gauging.batch_proof_gallons(spirits_pg=1, wines=[(1, 101)]),
    "no strength": lambda: gauging.gauge_by_weight(net_lb=10),
    "two strengths": lambda: gauging.gauge_by_weight(
        net_lb=10, proof=100, reading=100, reading_temperature_f=60
    ),
    "a reading without temperature": lambda: gauging.gauge_by_volume(volume_gal=10, reading=100),
    "more hidden than there is": lambda: gauging.gauge_by_weight(net_lb=10, proof=5, obscuration=6),
    "hidden above 200": lambda: gauging.gauge_by_weight(
        net_lb=10, reading=199, reading_temperature_f=60, obscuration=2
    ),
    "a tare above the gross": lambda: gauging.gauge_by_package(
        gross_lb=100, tare_lb=101, proof=100
    ),
    "half a bottle": lambda: gauging.gauge_by_cases(bottle_ml=750, bottles="1.5", proof=80),
    "no packages": lambda: gauging.gauge_by_average(packages=0, wine_gallons_each=50, proof=120),
}


@pytest.mark.parametrize("name", REFUSED)
def test_it_refuses_with_a_sentence(name):
    with pytest.raises(GaugingError) as refused:
        REFUSED[name]()
    assert is_a_sentence(str(refused.value))


def test_the_refusal_is_a_value_error():
    assert issubclass(GaugingError, ValueError)


@given(st.text(max_size=60))
def test_any_text_gives_a_proof_or_a_short_refusal(text):
    refusal, found = "", 0
    try:
        found = gauging.true_proof(text, 60)
    except GaugingError as refused:
        refusal = str(refused)
    assert len(refusal) < 160
    assert 0 <= found <= 200


@given(st.floats(0, 206), st.floats(0, 100))
def test_any_reading_gives_a_proof_or_a_refusal(reading, fahrenheit):
    try:
        found = gauging.true_proof(reading, fahrenheit)
    except GaugingError:
        return
    assert 0 <= found <= 200
    assert found == found.quantize(Decimal("0.1"))


@pytest.mark.parametrize("figure", [100, 100.0, "100", Decimal(100), " 100.0 ", "1e2"])
def test_every_way_to_write_a_number_is_the_same(figure):
    assert gauging.true_proof(figure, 60) == 100
    assert gauging.specific_gravity(figure) == gauging.specific_gravity(100)
