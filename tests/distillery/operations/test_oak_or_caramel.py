"""Oak chips and caramel: a new lot that carries the mark to every package filled of it."""

import pytest

from distillery.lot_marks import marks_of
from distillery.models import LotMark, Material
from distillery.recording import Asked, Refused
from ledger.models import Descent, Lot
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
DAY = "2026-03-02 08:00"


def stocked(**facts):
    world = make_world()
    make_barrels(world.premises, "B-1", rated=10)
    told = {"class_code": "rum", "name": "Rum", "state": "XX"}
    put(world, "storage", "S-1", "S", wine="50", proof="60", **told | facts)
    return world


def add(world, what="OC", **fields):
    fields = fields or {"quantity": "2 lb"}
    return world.record("oak-or-caramel", DAY, vessel="S-1", what=what, **fields)


def test_no_proof_gallon_moves_across_an_account():
    # 27 CFR 19.590(b): use of oak chips and caramel is an activity of storage
    add(stocked())
    assert held("S-1") == [("storage", "M-2", 5000, 6000)]


def test_the_mark_goes_with_the_spirits_to_the_barrel():
    # 27 CFR 19.484: "OC" or "BSA" on the head where they were used
    world = stocked()
    add(world)
    add(world, "BSA")
    world.record("fill-barrels", "2026-03-03 08:00", vessel="S-1", alike="B-1", each="10 gal")
    assert marks_of(Lot.objects.get(code="26C03")) == ["OC", "BSA"]
    assert marks_of(Lot.objects.get(code="S")) == []


def test_the_materials_are_its_parents():
    world = stocked()
    Material.objects.create(premises=world.premises, code="CHIPS", name="Oak chips", kind="other")
    world.record("receive-material", "2026-03-01 08:00", material="CHIPS", quantity="10 lb",
                 vessel="SHELF", supplier="Dune Cooperage (invented)")  # fmt: skip
    lot = Lot.objects.get(product="CHIPS").code
    add(world, materials=[{"lot": lot, "quantity": "2 lb"}])
    assert moved("materials", "mashed", "batch") == (200, 0, 0)
    rows = Descent.objects.filter(child__stage="spirits").values_list("parent__code", flat=True)
    assert set(rows) == {"S", lot}


def test_straight_whisky_loses_its_name_by_it():
    # 27 CFR 5.143(c)(5): straight holds no coloring, flavoring or blending material
    with pytest.raises(Asked, match="name-added"):
        add(stocked(class_code="whisky", type_code="straight rye"), "BSA")


def test_how_much_must_be_said():
    with pytest.raises(Refused) as refused:
        add(stocked(), quantity="")
    assert list(refused.value.errors) == ["quantity"]


def test_an_empty_tank_is_refused():
    with pytest.raises(Refused) as refused:
        make_world().record("oak-or-caramel", DAY, vessel="S-1", what="OC", quantity="2 lb")
    assert list(refused.value.errors) == ["vessel"]


def test_dated_back_and_taken_back():
    world = stocked()
    put(world, "storage", "S-2", "LATER", wine="1", proof="1", at="2026-04-01 08:00")
    done = add(world)
    world.record("reverse", DAY, entry=done.entry.number, reason="no chips were used")
    assert LotMark.objects.get().is_void
    assert marks_of(Lot.objects.get(code="M-3")) == []
