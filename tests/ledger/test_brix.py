"""Brix and Plato against tables of sugar in water; both scales as typed and shown again."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.brix import HIGHEST, LOWEST, degrees_of, gravity_of
from ledger.units import KINDS, UnitError, parse, show

SCALES = ("Bx", "P")
tenths = st.integers(int(LOWEST) * 10, int(HIGHEST) * 10).map(lambda number: Decimal(number) / 10)


@pytest.mark.parametrize(
    ("degrees", "gravity"),
    [
        # Apparent specific gravity 20/20 °C of sucrose, NBS Circular 440 (three of its figures as
        # quoted with the fit; all from memory).
        ("0", "1.0000"), ("10", "1.0400"), ("40", "1.1787"),
        # Brewers' table of extract, °P to specific gravity 20/20 °C (from memory).
        ("5", "1.0197"), ("12", "1.0484"), ("15", "1.0611"), ("20", "1.0830"),
    ],
)  # fmt: skip
def test_the_printed_tables_agree(degrees, gravity):
    assert gravity_of(Decimal(degrees)) == Decimal(gravity)


@pytest.mark.parametrize(
    ("degrees", "density"),
    # Density of sucrose in water at 20 °C, g/mL: a handbook of chemistry and physics, table of
    # concentrative properties (from memory); of water there 0.9982, of air 0.0012.
    [(10, "1.0381"), (20, "1.0810"), (30, "1.1270"), (40, "1.1765")],
)
def test_densities_weighed_in_air_agree(degrees, density):
    air, water = Fraction("0.0012"), Fraction("0.9982")
    apparent = (Fraction(density) - air) / (water - air)
    # The printed densities are good to 0.00005, and 30 and 40 degrees ring to one more.
    assert float(gravity_of(Decimal(degrees))) == pytest.approx(float(apparent), abs=0.0002)


@given(tenths.filter(lambda degrees: 0 <= degrees <= 20))
def test_the_short_relation_of_brewers_agrees(degrees):
    # SG = 1 + P / (258.6 - 227.1 P / 258.2): widely printed (from memory), good to 0.00003.
    short = 1 + degrees / (Decimal("258.6") - Decimal("227.1") * degrees / Decimal("258.2"))
    assert abs(gravity_of(degrees) - short) <= Decimal("0.0001")


@pytest.mark.parametrize("scale", SCALES)
@given(degrees=tenths)
def test_degrees_are_shown_as_they_were_typed(scale, degrees):
    kept = parse(f"{degrees} {scale}", "gravity")
    assert kept == kept.quantize(Decimal("0.0001"))  # as a reading keeps it
    assert show(kept, "gravity", scale) == f"{degrees:.1f} °{scale}".replace("-0.0", "0.0")


@given(st.integers(9811, 11787).map(lambda number: Decimal(number) / 10000))
def test_a_gravity_reads_back_within_the_last_figure_shown(gravity):
    shown = show(gravity, "gravity", "Bx")
    # A tenth of a degree is about 0.0004.
    assert abs(parse(shown, "gravity") - gravity) <= Decimal("0.0003")


@given(st.lists(tenths, min_size=2, max_size=2, unique=True).map(sorted))
def test_more_sugar_is_heavier(pair):
    assert gravity_of(pair[0]) < gravity_of(pair[1])


@pytest.mark.parametrize("degrees", ["-5.1", "40.1", "1000"])
def test_no_figure_is_made_up_beyond_the_scale(degrees):
    with pytest.raises(ValueError, match=degrees):
        gravity_of(Decimal(degrees))


def test_the_fit_is_good_at_its_own_ends():
    assert abs(degrees_of(Decimal(1))) < Decimal("0.01")


@pytest.mark.parametrize("text", [
    "12 Bx", "12Bx", "12 bx", "12 BRIX", "12 °Bx", "12° Brix", "12 º bx",
    "12 P", "12P", "12 °P", "12 Plato", "12.0 degrees Plato", "12 °plato.",
])  # fmt: skip
def test_every_way_to_write_it_is_read(text):
    assert parse(text, "gravity") == Decimal("1.0484")


def test_a_bare_number_is_never_guessed_at():
    for text in ("12", "1032", "1.032.0", "0", "32"):
        with pytest.raises(UnitError) as refused:
            parse(text, "gravity")
        assert KINDS["gravity"].example in str(refused.value)
