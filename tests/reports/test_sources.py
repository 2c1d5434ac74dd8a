"""Spirits of four sources received in bond, each on its own storage report.

27 CFR 19.581(l) has the origin told; TTB F 5110.11 is made for each source, all wines on the
domestic one (the instructions of the form).
"""

import pytest

from reports.filling import fill_from, sources_in
from reports.forms import FORMS
from reports.month_book import read_book
from tests.reports.months import FEBRUARY
from tests.world import make_world

pytestmark = pytest.mark.django_db
SOURCES = ("domestic", "imported", "puerto_rican", "virgin_islands")
GALLONS = {"domestic": "10", "imported": "20", "puerto_rican": "30", "virgin_islands": "40"}


def receive(world, vessel, gallons, **fields):
    gauge = {"volume": f"{gallons} gal", "temperature": "60 F", "proof": "150"}
    told = {
        "consignor": "Dune Spirits (invented)", "registry": "DSP-XX-99999", "seals": "intact",
        "account": "storage", "vessel": vessel, "gauge": gauge, "document": vessel,
        "consigned": str(float(gallons) * 1.5), "family": "rum",
    }  # fmt: skip
    world.record("receive-in-bond", "2026-02-03 10:00", **told | fields)


def test_each_source_has_its_own_storage_report():
    world = make_world()
    for vessel, source in zip(("S-1", "S-2", "NS", "FEINTS"), SOURCES, strict=True):
        sender = "other_plant" if source == "domestic" else "customs"
        receive(world, vessel, GALLONS[source], source=source, sender=sender, duty_rate="none")
    wine = {"family": "wine", "sender": "winery", "source": "imported", "consigned": "2.4"}
    gauge = {"volume": "10 gal", "temperature": "60 F", "proof": "24"}
    receive(world, "P-2", "10", **wine, gauge=gauge)
    book = read_book(world.premises, FEBRUARY)
    assert set(sources_in(book)) == set(SOURCES)
    for source in SOURCES:
        filled = fill_from(book, FORMS["storage"], source=source)
        cells = {
            (line.number, key): cell.value
            for _, line, key, cell in filled.every_cell()
            if cell.value and line.number in ("2", "3")
        }
        line = "2" if source == "domestic" else "3"
        rum = round(float(GALLONS[source]) * 150)
        more = {("2", "l"): 240} if source == "domestic" else {}
        assert cells == {(line, "f"): rum, **more, (line, "m"): rum + sum(more.values())}
