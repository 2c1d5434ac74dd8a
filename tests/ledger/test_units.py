"""Typed quantities: what a person writes is understood exactly or refused with an example."""

import subprocess
import sys
from decimal import Decimal
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.units import KINDS, UnitError, parse, registry, show


@pytest.mark.parametrize(
    ("text", "kind", "default_unit", "value"),
    [
        ("265 gal", "volume", None, "265"),
        ("265", "volume", "gal", "265"),
        ("1,250.5", "volume", "gal", "1250.5"),
        ("12,345,678.9 lb", "weight", None, "12345678.9"),
        ("12 qt", "volume", None, "3"),
        ("16 fl oz", "volume", None, "0.125"),
        ("3 Wine Gallons", "volume", None, "3"),
        ("52.3 PG", "proof_gallons", None, "52.3"),
        ("240 lb", "weight", None, "240"),
        ("240 lbs.", "weight", None, "240"),
        ("1 ton", "weight", None, "2000"),
        ("2 oz", "small_weight", None, "56.69904625"),
        ("1 lb", "small_weight", None, "453.59237"),
        ("72F", "temperature", "C", "72"),
        ("72 °F", "temperature", None, "72"),
        ("22.5 °C", "temperature", None, "72.5"),
        ("22.5º C", "temperature", None, "72.5"),
        ("20", "temperature", "C", "68"),
        ("-40 C", "temperature", None, "-40"),
        ("−5 C", "temperature", None, "23"),
        ("118.4 proof", "proof", None, "118.4"),
        ("118.4", "proof", None, "118.4"),
        ("43.5 % ABV", "proof", None, "87"),
        ("40% alc/vol", "proof", None, "80"),
        ("1.065", "gravity", None, "1.065"),
        ("0.998 SG", "gravity", None, "0.998"),
        ("1.032 sg", "gravity", "Bx", "1.032"),
        ("1.050", "specific_gravity", None, "1.050"),
        ("5.5 %", "percent", None, "5.5"),
        ("1,200", "count", None, "1200"),
        ("12 bottles", "count", None, "12"),
        ("1.5 h", "time", None, "90"),
        (".5 lb", "weight", None, "0.5"),
        (265, "volume", None, "265"),
        (Decimal("118.40"), "proof", None, "118.40"),
    ],
)
def test_it_reads_what_people_type(text, kind, default_unit, value):
    assert parse(text, kind, default_unit) == Decimal(value)


@pytest.mark.parametrize(
    ("text", "kind", "because"),
    [
        ("", "volume", "Type a volume"),
        (None, "volume", "Type a volume"),
        ("   ", "weight", "Type a weight"),
        ("145,0", "volume", "comma only parts thousands"),
        ("1,25", "volume", "comma only parts thousands"),
        ("1250,5", "volume", "comma only parts thousands"),
        ("1.250,5", "volume", "comma only parts thousands"),
        ("1,2500", "volume", "comma only parts thousands"),
        ("1.2.3", "volume", "not one number"),
        (".", "volume", "not one number"),
        ("nan", "volume", "not a volume"),
        ("inf", "volume", "not a volume"),
        ("many", "volume", "not a volume"),
        ("1e5", "weight", "not a unit of weight"),
        ("-3 gal", "volume", "below zero"),
        ("-1", "count", "below zero"),
        ("3 lb", "volume", "lb is for a weight"),
        ("3 gal", "weight", "gal is for a volume"),
        ("72 F", "proof", "F is for a temperature"),
        ("10 gal", "proof_gallons", "gal is for a volume"),
        ("10 PG", "volume", "PG is for a quantity of proof gallons"),
        ("3 furlongs", "volume", "furlongs is not a unit of volume"),
        ("10 bushels", "weight", "bushels is not a unit of weight"),
        ("201 proof", "proof", "from 0 to 200 proof"),
        ("100.5 % ABV", "proof", "from 0 to 200 proof"),
        ("1065", "gravity", "has no point. If the specific gravity is 1.065, type 1.065"),
        ("1032", "gravity", "has no point. If the specific gravity is 1.032, type 1.032"),
        ("12", "gravity", "12 is no specific gravity. Type its scale behind it, such as 12 Bx"),
        ("-1", "gravity", "cannot be below zero"),
        ("-6 Bx", "gravity", "Brix is read from -5 to 40; -6 Bx is outside"),
        ("41 °P", "gravity", "Plato is read from -5 to 40; 41 °P is outside"),
        ("1.048 Bx", "gravity", "If 1.048 is the specific gravity, type 1.048 SG"),
        ("1065 SG", "gravity", "from 0.7 to 2 SG"),
        ("12 Bé", "gravity", "Bé is not a unit of gravity"),
        ("12 Bx", "specific_gravity", "Bx is for a gravity"),
        ("12 P", "volume", "P is for a gravity"),
        ("9000 F", "temperature", "from -100 to 700 F"),
        ("99999999999 gal", "volume", "is outside"),
        ("12.5", "count", "whole number"),
        ("9" * 41, "volume", "too long"),
        ("12\u202e34 gal", "volume", "Hidden characters"),
        ("12\u200b gal", "volume", "Hidden characters"),
        ("12\x00 gal", "volume", "Hidden characters"),
        ("12\ngal", "volume", "Hidden characters"),
        ("١٢ gal", "volume", "not a volume"),
        ("<b>12</b>", "volume", "not a volume"),
        ("12; DROP TABLE", "volume", "not a unit"),
        (True, "volume", "not a volume"),
        (float("nan"), "volume", "not a volume"),
    ],
)
def test_it_refuses_with_a_reason_and_an_example(text, kind, because):
    with pytest.raises(UnitError) as refused:
        parse(text, kind)
    message = str(refused.value)
    assert because in message
    assert KINDS[kind].example in message
    assert message.endswith(".")
    assert len(message) < 200


def test_a_refusal_is_a_value_error():
    assert issubclass(UnitError, ValueError)


@pytest.mark.parametrize(
    ("value", "kind", "unit", "text"),
    [
        ("1250.5", "volume", "gal", "1,250.50 gal"),
        ("264.17205236", "volume", "L", "1,000.00 L"),
        ("240", "weight", "lb", "240.00 lb"),
        ("240", "weight", "kg", "108.86 kg"),
        ("72.5", "temperature", "C", "22.5 °C"),
        (72, "temperature", "F", "72.0 °F"),
        ("118.4", "proof", None, "118.4 proof"),
        ("0.005", "volume", "gal", "0.01 gal"),
        ("52.3", "proof_gallons", None, "52.30 PG"),
        (12, "count", None, "12"),
        ("1.0484", "gravity", None, "1.0484 SG"),
        ("1.0484", "gravity", "Bx", "12.0 °Bx"),
        ("1.0484", "gravity", "P", "12.0 °P"),
        ("0.9961", "gravity", "P", "-1.0 °P"),
        ("1.2000", "gravity", "Bx", "1.2000 SG"),  # beyond the scale
    ],
)
def test_it_shows_the_plants_choice_of_unit(value, kind, unit, text):
    assert show(value, kind, unit) == text


@pytest.mark.parametrize(
    ("kind", "unit"), [("volume", "L"), ("weight", "kg"), ("temperature", "C")]
)
@given(number=st.decimals(0, 99999, places=1))
def test_what_is_shown_reads_back_as_what_was_typed(kind, unit, number):
    number = min(number, Decimal(300)) if kind == "temperature" else number
    typed = parse(f"{number:f} {unit}", kind)
    shown = parse(show(typed, kind, unit), kind)
    assert abs(shown - typed) < Decimal("0.000001")


def is_taken(text, kind):
    try:
        parse(text, kind)
    except UnitError:
        return False
    return True


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_a_kind_names_the_units_in_which_it_may_be_below_zero(kind):
    rules = KINDS[kind]
    signed = {rules.words[unit.lower()] for unit in rules.signed}
    for word, unit in rules.words.items():
        assert is_taken(f"-0.4 {word}", kind) is (unit in signed), word


@given(st.text(max_size=50), st.sampled_from(sorted(KINDS)))
def test_any_text_gives_a_number_within_its_limits_or_a_refusal(text, kind):
    try:
        value = parse(text, kind)
    except UnitError:
        return
    assert KINDS[kind].low <= value <= KINDS[kind].high


EXACT = [
    # (unit, in, exact figure): definitions, NIST Handbook 44 appendix C.
    ("wine_gallon", "inch**3", Fraction(231)),
    ("wine_gallon", "liter", Fraction("3.785411784")),
    ("pound", "kilogram", Fraction("0.45359237")),
    ("pound", "ounce", Fraction(16)),
    ("wine_gallon", "quart", Fraction(4)),
    ("wine_gallon", "fluid_ounce", Fraction(128)),
    ("ton", "pound", Fraction(2000)),
    # 27 CFR 30.11: proof is twice the percent by volume.
    ("percent_by_volume", "degree_of_proof", Fraction(2)),
    # Common practice, no source: the distiller's bushel of any grain is a weight.
    ("distillers_bushel", "pound", Fraction(56)),
]


@pytest.mark.parametrize(("unit", "target", "figure"), EXACT)
def test_the_registry_knows_the_exact_relations(unit, target, figure):
    found = registry().Quantity(Decimal(1), unit).to(target).magnitude
    assert isinstance(found, Decimal)
    assert abs(Fraction(found) - figure) < Fraction(1, 10**20)


@pytest.mark.parametrize(
    ("text", "kind", "unit", "target"),
    [
        ("1000 L", "volume", "liter", "gallon"),
        ("750 mL", "volume", "milliliter", "gallon"),
        ("3 kg", "weight", "kilogram", "pound"),
        ("2.5 oz", "small_weight", "ounce", "gram"),
        ("17.3 C", "temperature", "degC", "degF"),
    ],
)
def test_an_independent_registry_agrees(text, kind, unit, target):
    number = float(text.split()[0])
    second = pint.UnitRegistry().Quantity(number, unit).to(target).magnitude
    assert float(parse(text, kind)) == pytest.approx(second, rel=1e-7)


def test_proof_gallons_are_no_measure_of_space():
    with pytest.raises(pint.DimensionalityError):
        registry().Quantity(Decimal(1), "proof_gallon").to("wine_gallon")


@pytest.mark.parametrize(
    ("text", "kind", "shown"),
    [
        # Common practice, no source: sizes people on the floor know by heart.
        ("1000 L", "volume", "264.17 gal"),  # the usual tote or small fermenter
        ("200 L", "volume", "52.83 gal"),  # the usual barrel, "53 gallons"
        ("55 gal", "volume", "55.00 gal"),
        ("25 kg", "weight", "55.12 lb"),  # a sack of malt, "55 pounds"
        ("100 C", "temperature", "212.0 °F"),
    ],
)
def test_facts_of_the_trade(text, kind, shown):
    assert show(parse(text, kind), kind) == shown


def test_the_registry_is_made_once_and_only_when_needed():
    assert registry() is registry()
    program = (
        "import sys; from ledger.units import parse, show; "
        "show(parse('1,250.5 gal', 'volume'), 'volume'); assert 'pint' not in sys.modules"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0
