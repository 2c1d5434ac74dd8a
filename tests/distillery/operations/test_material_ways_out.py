"""Materials that never reach a mash: sent back, destroyed, given away.

27 CFR 19.584(a), (b): receipt and use of materials by kind, quantity and date; 19.581(h), (i):
weight, or gallons if liquid, and the supplier.
"""

import pytest

from distillery.models import Material
from distillery.recording import Asked, Refused
from ledger.models import Holding
from ledger.verifying import verify
from tests.distillery.operations.plant_floor import deliver
from tests.distillery.stock import moved
from tests.world import make_world

pytestmark = pytest.mark.django_db

AT = "2026-01-08 09:00"
DESTROY = {"vessel": "BIN-1", "fate": "destroyed", "manner": "burned"}


def in_bins() -> int:
    return sum(row.amount for row in Holding.objects.filter(account="materials"))


def test_a_part_goes_back_to_the_supplier():
    world = make_world()
    deliver(world, "CORN", "400 lb")
    done = world.record("return-material", AT, vessel="BIN-1", quantity="150 lb", why="wet")
    assert moved("materials", "supplier", "return") == (15000, 0, 0)
    assert in_bins() == 25000
    assert "back to Dune Grain (invented)" in done.plan.lines[0]


def test_without_a_quantity_all_of_it_goes():
    world = make_world()
    deliver(world, "YEAST", "500 g", "SHELF")
    world.record("return-material", AT, vessel="SHELF")
    assert (moved("materials", "supplier", "return"), in_bins()) == ((50000, 0, 0), 0)


def test_several_lots_in_a_bin_want_a_name():
    world = make_world()
    corn, rye = deliver(world, "CORN", "400 lb"), deliver(world, "RYE", "100 lb")
    with pytest.raises(Refused) as refused:
        world.record("return-material", AT, vessel="BIN-1", quantity="50 lb")
    assert list(refused.value.errors) == ["lot"]
    world.record("return-material", AT, vessel="BIN-1", lot=rye, quantity="50 lb")
    assert Holding.objects.get(lot__code=rye).amount == 5000
    assert Holding.objects.get(lot__code=corn).amount == 40000


def test_an_empty_bin_is_refused_beside_its_field():
    world = make_world()
    with pytest.raises(Refused) as refused:
        world.record("return-material", AT, vessel="BIN-2")
    assert list(refused.value.errors) == ["vessel"]


@pytest.mark.parametrize("typed", ["150 gal", "nothing", "0 lb"])
def test_a_quantity_in_another_measure_is_refused_beside_its_field(typed):
    world = make_world()
    deliver(world, "CORN", "400 lb")
    with pytest.raises(Refused) as refused:
        world.record("return-material", AT, vessel="BIN-1", quantity=typed)
    assert list(refused.value.errors) == ["quantity"]


def test_more_than_the_book_has_is_offered_as_found():
    world = make_world()
    deliver(world, "CORN", "400 lb")
    with pytest.raises(Asked) as asked:
        world.record("destroy-material", AT, quantity="410 lb", **DESTROY)
    assert [q.code for q in asked.value.plan.questions] == ["found-more"]


@pytest.mark.parametrize(
    ("fate", "account", "purpose"),
    [
        ("destroyed", "destroyed", "destroy"), ("scrapped", "destroyed", "destroy"),
        ("fed", "residue", "destroy"),
    ],
)  # fmt: skip
def test_each_fate_leads_out_of_the_materials(fate, account, purpose):
    world = make_world()
    deliver(world, "CORN", "400 lb")
    world.record("destroy-material", AT, **{**DESTROY, "fate": fate}, quantity="30 lb")
    assert moved("materials", account, purpose) == (3000, 0, 0)


@pytest.mark.parametrize("slug", ["destroy-material", "return-material"])
def test_pieces_have_a_record_of_their_own(slug):
    # 27 CFR 19.603: liquor bottles received, used and disposed of
    world = make_world()
    Material.objects.create(
        premises=world.premises, code="GLASS", name="Bottle 750 mL", kind="bottle", unit="each"
    )
    deliver(world, "GLASS", "600")
    fields = DESTROY if slug == "destroy-material" else {"vessel": "BIN-1"}
    with pytest.raises(Refused, match="Scrap bottles") as refused:
        world.record(slug, AT, quantity="13", **fields)
    assert list(refused.value.errors) == ["lot"]


def test_a_record_dated_back_sees_the_bin_as_it_was():
    world = make_world()
    deliver(world, "CORN", "400 lb")
    world.record("destroy-material", "2026-01-09 09:00", quantity="100 lb", **DESTROY)
    world.record("return-material", AT, vessel="BIN-1", quantity="200 lb")
    assert in_bins() == 10000
    assert verify(world.premises).faults == []


def test_taken_back_it_lies_in_the_bin_again():
    world = make_world()
    deliver(world, "CORN", "400 lb")
    done = world.record("destroy-material", AT, quantity="100 lb", **DESTROY)
    world.record("reverse", AT, entry=str(done.entry.number), reason="Wrong bin")
    assert in_bins() == 40000


@pytest.fixture
def vanilla():
    """Five gallons of a flavoring at 70 proof, 3.50 PG (27 CFR 30.51)."""
    world = make_world()
    Material.objects.create(
        premises=world.premises, code="VANILLA", name="Vanilla", kind="other", unit="gal"
    )
    world.record(
        "receive-material", "2026-01-05 09:00", material="VANILLA", quantity="5 gal",
        vessel="SHELF", supplier="Dune Grain (invented)", lot="VAN-1", proof="70",
    )  # fmt: skip
    return world


def three(code="VAN-1"):
    row = Holding.objects.get(lot__code=code)
    return row.amount, row.wine_gallons, row.proof_gallons


def test_a_flavoring_sent_back_takes_its_alcohol_along(vanilla):
    # 27 CFR 19.581(f): 2 of 5 gallons take 1.40 of 3.50 PG
    vanilla.record("return-material", AT, vessel="SHELF", lot="VAN-1", quantity="2 gal", why="odd")
    assert three() == (300, 300, 210)


def test_a_flavoring_destroyed_leaves_no_alcohol_behind(vanilla):
    # 27 CFR 19.581(f)
    vanilla.record("destroy-material", AT, vessel="SHELF", lot="VAN-1", fate="destroyed",
                   manner="poured away")  # fmt: skip
    assert three() == (0, 0, 0)


def test_a_flavoring_counted_short_loses_its_alcohol_too(vanilla):
    # 27 CFR 19.623: 4 of 5 gallons found
    rows = [{"vessel": "SHELF", "lot": "VAN-1", "quantity": "4 gal"}]
    vanilla.record("count", AT, kind="other", rows=rows)
    assert three() == (400, 400, 280)
