"""Depth to gallons: shapes against published figures, tables by proportion."""

from datetime import date
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from distillery.models import StrappingTable
from distillery.strapping import (
    StrappingError,
    by_table_gal,
    cone_bottomed_gal,
    lying_gal,
    upright_gal,
)
from tests.world import make_world

D = Decimal


@pytest.mark.parametrize(("across", "each"), [("24", "1.958"), ("30", "3.060"), ("36", "4.406")])
def test_an_upright_cylinder_in_gallons_an_inch(across, each):
    # Geometry with the gallon of 231 cubic inches, 27 CFR 30.11.
    found = upright_gal(D(1000), diameter_in=D(across)) / 1000
    assert abs(found - D(each)) <= D("0.0005")


@pytest.mark.parametrize(
    ("depth", "full", "near"),
    [
        # Civil engineering handbooks' table of circular segments, to 0.1 %.
        ("16", "10.3", "0.05"), ("44", "42.4", "0.05"),
        # Geometry: 1/3 - sqrt(3) / (4 pi) = 0.19550.
        ("25", "19.55", "0.005"),
        ("50", "50", "0.001"), ("100", "100", "0.001"), ("0", "0", "0.001"),
    ],
)  # fmt: skip
def test_a_lying_cylinder_is_full_by_its_segment(depth, full, near):
    sizes = {"diameter_in": D(100), "length_in": D(1000)}
    part = lying_gal(D(depth), **sizes) / upright_gal(D(1000), diameter_in=D(100)) * 100
    assert abs(part - D(full)) <= D(near)


def test_a_cone_holds_a_third_and_then_a_cylinder():
    # Geometry: a cone is a third of its cylinder, an eighth of itself at half its depth.
    cone = {"diameter_in": D(40), "cone_depth_in": D(30)}
    whole = upright_gal(D(30), diameter_in=D(40))
    assert abs(cone_bottomed_gal(D(30), **cone) - whole / 3) <= D("0.01")
    assert abs(cone_bottomed_gal(D(15), **cone) - whole / 24) <= D("0.01")
    assert abs(cone_bottomed_gal(D(60), **cone) - whole * 4 / 3) <= D("0.01")


def test_a_table_is_read_between_its_rows():
    # 27 CFR 30.51: 88 inches x 48.96 gallons an inch = 4308.48.
    assert by_table_gal(D(88), [(D(100), D("4896"))]) == D("4308.48")
    rows = [(D(10), D(100)), (D(20), D(300))]
    assert [by_table_gal(D(h), rows) for h in (5, 10, 15, 20)] == [50, 100, 200, 300]


def test_a_depth_above_the_table_is_a_sentence():
    with pytest.raises(StrappingError, match=r"depth of 21 in is above .* ends at 20 in"):
        by_table_gal(D(21), [(D(20), D(300))])
    with pytest.raises(StrappingError, match="no rows yet"):
        by_table_gal(D(1), [])
    with pytest.raises(StrappingError, match="ends at 40 in"):
        lying_gal(D(41), diameter_in=D(40), length_in=D(60))


@pytest.fixture
def vessel(db):
    return make_world().premises.vessels.get(code="S-1")


def strap(vessel, shape="table", day=date(2026, 1, 1), **sizes):
    return StrappingTable.objects.create(
        vessel=vessel, effective=day, source="certificate 7", shape=shape, **sizes
    )


def test_the_newest_strapping_of_the_day_applies(vessel):
    old = strap(vessel)
    new = strap(vessel, "upright", date(2026, 3, 1), diameter_in=D(24), height_in=D(60))
    assert StrappingTable.on(vessel, date(2026, 2, 28)) == old
    assert StrappingTable.on(vessel, date(2026, 3, 1)) == new
    with pytest.raises(StrappingError, match="S-1 has no strapping on 2025-12-31"):
        StrappingTable.on(vessel, date(2025, 12, 31))


def test_each_shape_finds_its_own_volume(vessel):
    table = strap(vessel)
    table.rows.create(depth_in=D(100), volume_gal=D("4896"))
    assert table.volume_gal(D(88)) == D("4308.48")
    sizes = {"diameter_in": D(24), "height_in": D(60)}
    upright = StrappingTable(vessel=vessel, shape="upright", **sizes)
    assert upright.volume_gal(D(10)) == D("19.58")
    with pytest.raises(StrappingError, match="ends at 60 in"):
        upright.volume_gal(D(61))
    cone = StrappingTable(vessel=vessel, shape="cone", cone_depth_in=D(30), **sizes)
    assert cone.volume_gal(D(30)) == D("19.58")
    lying = StrappingTable(vessel=vessel, shape="lying", diameter_in=D(24), length_in=D(10))
    assert lying.volume_gal(D(24)) == D("19.58")


def test_a_shape_without_its_sizes_is_refused(vessel):
    with pytest.raises(ValidationError) as refused:
        StrappingTable(vessel=vessel, shape="lying", diameter_in=D(0)).clean()
    assert set(refused.value.message_dict) == {"diameter_in", "length_in"}
