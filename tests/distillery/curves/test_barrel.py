"""A barrel's curve: from its last fill over regauges and samples to its dump."""

import pytest

from distillery.barrel_spells import spells_of
from distillery.barrel_story import acts_of, moves_of, readings_of
from distillery.curves.barrel import barrel_curve
from ledger.models import Vessel
from tests.distillery.stock import put
from tests.world import ZONE, make_barrels, make_world

pytestmark = pytest.mark.django_db


def curve_of(code):
    vessel = Vessel.objects.get(code=code)
    spells = spells_of(vessel)
    found = readings_of(spells, acts_of(vessel), moves_of(vessel), vessel)
    return barrel_curve(vessel, spells, found, ZONE)


def test_a_regauge_is_a_point_of_strength_and_of_volume():
    world = make_world()
    make_barrels(world.premises, "B-1", rated=10)
    at = "2026-01-30 09:00"
    put(world, "storage", "B-1", "26A30", wine="10", proof="11.8", at=at, class_code="whisky")
    row = {"vessel": "B-1", "gross": "122 lb", "proof": "120"}
    world.record("regauge", "2026-09-14 10:00", vessels=[row])
    found = curve_of("B-1")
    # 11.8 PG in 10 gal are 118 proof (27 CFR 30.11).
    assert found.rows[0][1:4] == ("Filled", "10.00", "118.0")
    assert found.rows[1][1] == "Regauged"
    assert found.rows[1][3] == "120.0"
    assert [len(panel.lines[0].spots) for panel in found.chart.panels] == [2, 2]


def test_a_barrel_never_filled_has_none():
    world = make_world()
    make_barrels(world.premises, "B-1")
    assert curve_of("B-1") is None
