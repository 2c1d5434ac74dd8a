"""OIML R 22 against its own tables and against handbook densities it was not made from."""

from decimal import Decimal

import pytest

from ledger.gauging import GaugingError, density, proof_of, specific_gravity
from ledger.gauging.strength import fraction_from_proof, proof_from_fraction
from ledger.gauging.table1 import TABLE_1, interpolate
from ledger.gauging.tables import Lookup

from .published import NOT_ON_THE_SCALE, all_but, rows

AIR = Decimal("1.2")
TABLE_1_CELLS = Lookup(TABLE_1)  # not yet rounded or refused: water reads either side of 0
OLD_LITER = Decimal("0.999972")  # g/mL of the liter before 1964 in g/cm3, from memory


@pytest.mark.parametrize(("given", "printed"), rows("oiml_density"))
def test_it_is_the_formula_of_the_international_tables(given, printed):
    found = density(given["mass_fraction"], given["temperature_C"])
    assert abs(found - printed["density_kg_m3"]) <= Decimal("0.006")


@pytest.mark.parametrize(("given", "printed"), rows("oiml_mass_fraction"))
def test_it_gives_back_the_density_of_a_printed_mass_fraction(given, printed):
    half_digit = Decimal("0.00005")
    fraction, warmth = printed["mass_fraction"], given["temperature_C"]
    lighter, heavier = (
        density(fraction + half_digit, warmth),
        density(fraction - half_digit, warmth),
    )
    assert lighter <= given["density_kg_m3"] <= heavier


@pytest.mark.parametrize(("given", "printed"), rows("oiml_density_in_air"))
def test_it_gives_the_canadian_density_in_air(given, printed):
    vacuum = density(given["mass_fraction"], given["temperature_C"])
    in_air = (vacuum - AIR) / (1 - AIR / 8000) / 1000
    # The Canadian convention for air is not printed; it is worth two in the sixth decimal.
    assert abs(in_air - printed["density_in_air_g_cm3"]) <= Decimal("0.000003")


@pytest.mark.parametrize(("given", "printed"), rows("density_handbook"))
def test_it_agrees_with_the_bureau_of_standards(given, printed):
    found = density(Decimal(given["mass_percent"]) / 100, given["temperature_C"]) / 1000
    # Largest found over the whole table: 9.7 in the fifth decimal.
    assert abs(found - printed["density_g_mL"] * OLD_LITER) <= Decimal("0.0001")


@pytest.mark.parametrize(("given", "printed"), rows("density_handbook_20C_tenths"))
def test_it_agrees_with_the_engineers_table_by_tenths(given, printed):
    found = density(Decimal(given["mass_percent"]) / 100, given["temperature_C"]) / 1000
    assert abs(found - printed["density_g_mL"] * OLD_LITER) <= Decimal("0.00006")


@pytest.mark.parametrize(("given", "printed"), rows("sg_air_60_60_by_abv"))
def test_gravity_in_air_agrees_with_the_pharmacopeia_by_volume(given, printed):
    found = specific_gravity(given["abv_percent_60F"] * 2, in_air=True)
    assert abs(found - printed["specific_gravity_air_60_60"]) <= Decimal("0.0001")


@pytest.mark.parametrize(("given", "printed"), rows("sg_air_60_60_by_mass"))
def test_gravity_in_air_agrees_with_the_pharmacopeia_by_mass(given, printed):
    proof = proof_from_fraction(float(given["mass_percent"]) / 100)
    found = specific_gravity(round(proof, 6), in_air=True)
    assert abs(found - printed["specific_gravity_air_60_60"]) <= Decimal("0.0001")


def fraction_of(given):
    if "mass_percent" in given:
        return Decimal(given["mass_percent"]) / 100
    return Decimal(str(fraction_from_proof(float(given["abv_percent_60F"]) * 2)))


@pytest.mark.parametrize(
    ("given", "printed"), rows("sg_air_25_25_by_abv") + rows("sg_air_25_25_by_mass")
)
def test_gravity_at_25_c_agrees_with_the_pharmacopeia(given, printed):
    found = (density(fraction_of(given), 25) - AIR) / (density(0, 25) - AIR)
    assert abs(found - printed["specific_gravity_air_25_25"]) <= Decimal("0.0001")


@pytest.mark.parametrize(("given", "printed"), rows("abv60_to_mass_percent"))
def test_mass_percent_agrees_with_the_pharmacopeia(given, printed):
    assert abs(fraction_of(given) * 100 - printed["mass_percent"]) <= Decimal("0.012")


@pytest.mark.parametrize(("given", "printed"), rows("mass_percent_to_abv60"))
def test_volume_percent_agrees_with_the_pharmacopeia(given, printed):
    found = proof_from_fraction(float(given["mass_percent"]) / 100) / 2
    assert abs(found - float(printed["abv_percent_60F"])) <= 0.013


@pytest.mark.parametrize(
    ("given", "printed"), all_but(rows("glass_hydrometer_reading_historic"), NOT_ON_THE_SCALE)
)
def test_a_century_old_table_of_glass_hydrometers_agrees(given, printed):
    """An independent look at the temperature model, 30 to 85 F, good to a quarter percent."""
    reading = printed["hydrometer_reading_abv_percent"] * 2
    found = interpolate(TABLE_1_CELLS, reading, Decimal(given["temperature_F"]))
    assert abs(found / 2 - given["true_abv_percent_60F"]) <= Decimal("0.25")


@pytest.mark.parametrize(
    ("proof", "gravity"),
    [(0, "1"), (200, "0.7939")],  # 27 CFR 30.11 and 30.22
)
def test_the_ends_of_the_scale_are_the_laws(proof, gravity):
    assert specific_gravity(proof) == Decimal(gravity)
    assert proof_of(gravity) == proof


@pytest.mark.parametrize(("fraction", "warmth"), [(-0.01, 20), (1.01, 20), (0.5, -21), (0.5, 41)])
def test_it_does_not_leave_the_range_of_the_formula(fraction, warmth):
    with pytest.raises(GaugingError):
        density(fraction, warmth)
