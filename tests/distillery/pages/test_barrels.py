"""The page of a barrel, the list of them, and the words on their heads."""

import re

import pytest

from distillery.barrel_spells import spells_of
from distillery.package_marks import head_marks
from ledger.models import Vessel
from tests.distillery.barrel_house import MAKER, lived_in, received
from tests.distillery.stock import put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db


def text(client, path):
    return re.sub(r"\s+", " ", client.get(path).content.decode())


def marks(code):
    vessel = Vessel.objects.select_related("barrel").get(code=code)
    return dict(head_marks(vessel, vessel.barrel, spells_of(vessel)[-1]))


def test_the_whole_life_is_on_one_page(client_of):
    world = lived_in()
    page = text(client_of(world.reader), "/barrels/B-101/")
    for words in (
        "Dune Cooperage (invented)", "Rack 2, row 3, tier 1", "24 hours, no leak", "amber, vanilla",
        "Held before", "26A30", "Regauged", "Rinsed", "recovered by rinsing B-101",
        "Dump to a tank",
    ):  # fmt: skip
        assert words in page, words
    assert "<dd>R <span" in page  # 27 CFR 19.618: reused on its second fill


def test_the_list_tells_where_each_stands(client_of):
    world = lived_in()
    page = text(client_of(world.reader), "/barrels/")
    assert "11 here, 1 sold or retired" in page
    only = text(client_of(world.reader), "/barrels/?place=Yard")
    assert "B-105" in only
    assert "B-102" not in only


def test_marks_of_a_package_filled_in_storage():
    # 27 CFR 19.484: producer, plant number, kind, package identification, RC with the gallons
    lived_in()
    assert marks("B-102") == {
        "Producer": MAKER.split(",")[0], "Plant number": "DSP-XX-00000", "Kind": "Rum",
        "Package": "26A30 · B-102", "Rated capacity": "RC-G 15",
    }  # fmt: skip


def test_marks_of_a_package_filled_in_processing():
    # 27 CFR 19.488: processor, plant number, kind, lot, date of fill, proof, formula
    world = make_world()
    make_barrels(world.premises, "B-1", rated="10.5")
    put(world, "processing", "P-1", "G", wine="20", proof="22", class_code="gin", stage="batch",
        name="Barreled gin", formula="12345")  # fmt: skip
    world.record("fill-barrels", "2026-01-30 09:00", vessel="P-1", alike="B-1", each="10 gal")
    assert marks("B-1") == {
        "Processor": "Marram Point Spirits (invented)", "Plant number": "DSP-XX-00000",
        "Kind": "Barreled gin", "Lot and package": "26A30 · B-1", "Filled": "30 Jan 2026",
        "Proof": "110.0", "Formula": "12345", "Rated capacity": "RC-G 10.5",
    }  # fmt: skip


def test_chips_are_told_on_the_head():
    # 27 CFR 19.484: "OC" where oak chips were used
    world = make_world()
    make_barrels(world.premises, "B-1", rated=10)
    put(world, "storage", "S-1", "S", wine="20", proof="22", class_code="rum", name="Rum")
    world.record("oak-or-caramel", "2026-01-29 09:00", vessel="S-1", what="OC", quantity="1 lb")
    world.record("fill-barrels", "2026-01-30 09:00", vessel="S-1", alike="B-1", each="10 gal")
    assert marks("B-1")["Treated with"] == "OC"


def test_spirits_of_190_proof_of_another_tell_who_packed_them():
    # 27 CFR 19.484: at 190 proof and over the packer's name may stand instead
    world = make_world()
    make_barrels(world.premises, "B-1", rated=10)
    put(world, "storage", "B-1", "N", wine="10", proof="19",
        producer="Shoal Grain (invented), DSP-XX-99999")  # fmt: skip
    assert marks("B-1")["Packed by"] == "Marram Point Spirits (invented)"


def test_labels_are_pdf_for_full_barrels_only(client_of):
    world = lived_in()
    client = client_of(world.reader)
    one = client.get("/barrels/B-102/label.pdf")
    assert (one.status_code, one.content[:5]) == (200, b"%PDF-")
    assert one.content == client.get("/barrels/B-102/label.pdf").content
    assert client.get("/barrels/B-105/label.pdf").status_code == 404
    many = client.get("/barrels/labels.pdf?codes=B-101..B-104")
    assert many.content.count(b"/Type /Page\n") == 4
    lot = client.get("/barrels/labels.pdf?lot=26A30")
    assert lot.content.count(b"/Type /Page\n") == 3
    assert "/barrels/labels.pdf?lot=26A30" in text(client, "/lots/26A30/")
    assert client.get("/barrels/labels.pdf?codes=B-9..").status_code == 404
    assert client.get("/barrels/labels.pdf?codes=B-105").status_code == 404


def test_a_tank_is_no_barrel(client_of):
    world = make_world()
    assert client_of(world.reader).get("/barrels/S-1/").status_code == 404


def test_what_is_sold_is_off_the_floor(client_of):
    world = make_world()
    received(world)
    world.record("barrel-care", "2026-01-06 09:00", barrels="B-101..B-112", done="sold")
    assert "B-101" not in text(client_of(world.owner), "/")
    assert "B-101" in text(client_of(world.owner), "/barrels/")
