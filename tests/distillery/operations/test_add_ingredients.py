"""A batch with flavorings, sugar, wine or plants in it: what moves, and what is asked."""

import pytest

from distillery.models import Material
from distillery.recording import Asked, Refused
from ledger.models import Descent, Holding, Lot
from ledger.verifying import verify
from tests.distillery.stock import held, moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db
DAY = "2026-03-20 10:00"
ITEMS = [("VANILLA", "Vanilla extract", "gal"), ("SUGAR", "Cane sugar", "lb"),
         ("CITRIC", "Citric acid", "g"), ("CARAMEL", "Caramel color", "lb")]  # fmt: skip


@pytest.fixture
def world():
    """A hundred gallons of rum at 80 proof in P-1, and the materials of a liqueur."""
    made = make_world()
    for code, name, unit in ITEMS:
        Material.objects.create(
            premises=made.premises, code=code, name=name, kind="other", unit=unit
        )
    put(made, "processing", "P-1", "RUM", wine="100", proof="80", class_code="rum")
    return made


def receive(world, material, quantity, lot, **more):
    world.record(
        "receive-material", "2026-03-01 09:00", material=material, quantity=quantity,
        vessel="SHELF", supplier="Dune Grain (invented)", lot=lot, **more,
    )  # fmt: skip


def add(world, at=DAY, **fields):
    return world.record("add-ingredients", at, vessel="P-1", **fields)


def row(lot, quantity, **more):
    return {"lot": lot, "quantity": quantity, **more}


def gauge(volume, proof):
    return {"volume": f"{volume} gal", "temperature": "60 F", "proof": proof}


def test_a_flavoring_stands_in_materials_with_its_alcohol(world):
    # 27 CFR 19.581(f), 30.51: 5 gal at 70 proof are 3.50 PG
    receive(world, "VANILLA", "5 gal", "VAN-1", proof="70", formula="F-9")
    row = Holding.objects.get(lot__code="VAN-1")
    assert (row.account, row.amount, row.wine_gallons, row.proof_gallons) == (
        "materials", 500, 500, 350,
    )  # fmt: skip
    assert row.lot.formula == "F-9"


def test_a_flavoring_in_pounds_has_no_proof(world):
    with pytest.raises(Refused) as refused:
        receive(world, "SUGAR", "5 lb", "SUG-1", proof="70")
    assert list(refused.value.errors) == ["proof"]


def test_flavoring_enters_processing_when_it_is_mixed(world):
    # 27 CFR 19.342(e), TTB F 5110.28 line 4: 2 of 5 gal at 70 proof are 1.40 PG
    receive(world, "VANILLA", "5 gal", "VAN-1", proof="70")
    add(world, materials=[row("VAN-1", "2 gal")], formula="7")
    assert moved("materials", "processing", "flavor") == (0, 200, 140)
    assert moved("materials", "mashed", "batch") == (200, 0, 0)
    assert held("P-1") == [("processing", "B-3", 10200, 8140)]
    left = Holding.objects.get(lot__code="VAN-1")
    assert (left.amount, left.wine_gallons, left.proof_gallons) == (300, 300, 210)
    assert Lot.objects.get(code="B-3").formula == "7"
    assert verify(world.premises).faults == []


def test_all_of_a_flavoring_is_all_its_parts(world):
    receive(world, "VANILLA", "1 gal", "VAN-1", proof="35")
    for minute in range(3):
        quantity = "0.33 gal" if minute < 2 else "0.34 gal"
        add(world, f"2026-03-20 10:{minute:02}", materials=[row("VAN-1", quantity)], formula="7")
    assert moved("materials", "processing", "flavor")[2] == 35
    left = Holding.objects.get(lot__code="VAN-1")
    assert (left.amount, left.wine_gallons, left.proof_gallons) == (0, 0, 0)


def test_sugar_has_weight_and_volume_but_no_proof_gallons(world):
    # 27 CFR 19.581(h): non-liquids by weight; 102.56 gal at 78 proof are 80.00 PG (30.51)
    receive(world, "SUGAR", "100 lb", "SUG-1")
    gauged = gauge("102.56", "78")
    add(world, materials=[row("SUG-1", "60 lb", use="sugar")], gauge=gauged, formula="7")
    assert moved("materials", "mashed", "batch") == (6000, 0, 0)
    assert moved("contraction", "processing", "reduce") == (0, 256, 0)
    assert held("P-1") == [("processing", "B-3", 10256, 8000)]


def test_wine_of_storage_enters_processing_as_wine(world):
    # TTB F 5110.28 lines 2(b), 10(b) and 5(c): 10 gal of 20 % are 4.00 PG (27 CFR 30.51)
    put(world, "storage", "S-1", "PORT", wine="50", proof="20", class_code="wine", unit="gal")
    add(world, wines=[{"vessel": "S-1", "volume": "10 gal"}], formula="7")
    assert moved("storage", "processing", "transfer") == (0, 1000, 400)
    assert moved("processing", "processing", "mix_wine") == (0, 1000, 400)
    assert held("P-1") == [("processing", "B-3", 11000, 8400)]
    assert held("S-1") == [("storage", "PORT", 4000, 1600)]
    parents = Descent.objects.filter(child__code="B-3").values_list("parent__code", flat=True)
    assert set(parents) == {"RUM", "PORT"}


def test_spirits_are_not_wine(world):
    put(world, "processing", "P-2", "GIN", wine="50", proof="20", class_code="gin")
    with pytest.raises(Refused, match="which is not wine"):
        add(world, wines=[{"vessel": "P-2"}], formula="7")


def test_a_tank_without_wine_is_refused(world):
    with pytest.raises(Refused, match="no wine in S-1"):
        add(world, wines=[{"vessel": "S-1"}], formula="7")


def test_an_empty_tank_is_no_batch(world):
    receive(world, "SUGAR", "100 lb", "SUG-1")
    with pytest.raises(Refused, match="Dump or blend spirits into it first"):
        world.record("add-ingredients", DAY, vessel="P-2", materials=[row("SUG-1", "60 lb")])


def test_nothing_added_is_nothing_to_record(world):
    with pytest.raises(Refused) as refused:
        add(world)
    assert list(refused.value.errors) == ["materials"]


def test_a_lot_that_is_used_up_is_refused_beside_the_materials(world):
    receive(world, "SUGAR", "10 lb", "SUG-1")
    add(world, materials=[row("SUG-1", "10 lb", use="sugar")], formula="7")
    with pytest.raises(Refused) as refused:
        add(world, "2026-03-20 11:00", materials=[row("SUG-1", "1 lb", use="sugar")], formula="7")
    assert list(refused.value.errors) == ["materials"]


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"materials": [row("JUN-1", "500 g")]}, r"steeping plant material \(27 CFR 5\.193\(g\)"),
        ({"materials": [row("VAN-1", "1 gal")]}, "mixing in flavoring"),
        ({"materials": [row("SUG-1", "60 lb", use="sugar")]}, "mixing in flavoring"),
        ({"carbonated": True}, "carbonating"),
        ({"wines": [{"vessel": "S-1"}]}, "mixing in flavoring, wine"),
    ],
    ids=["steeped", "flavoring", "sugar", "carbonated", "wine"],
)
def test_treatment_without_a_formula_is_asked_about(world, fields, words):
    # 27 CFR 5.193, 19.348
    receive(world, "JUNIPER", "2,000 g", "JUN-1")
    receive(world, "VANILLA", "5 gal", "VAN-1", proof="70")
    receive(world, "SUGAR", "100 lb", "SUG-1")
    put(world, "storage", "S-1", "PORT", wine="50", proof="20", class_code="wine", unit="gal")
    with pytest.raises(Asked, match=words):
        add(world, **fields)
    assert add(world, confirm=["formula-needed"], **fields).is_new


def test_vodka_takes_two_grams_of_sugar_a_liter_and_no_more(world):
    # 27 CFR 5.142: 2 g/L sugar; 100 gal are 378.54 L (19.582), so 757 g are the limit
    put(world, "processing", "P-2", "VODKA", wine="100", proof="80", class_code="vodka")
    receive(world, "SUGAR", "100 lb", "SUG-1")
    added = {"vessel": "P-2", "materials": [row("SUG-1", "1.66 lb", use="sugar")]}
    done = world.record("add-ingredients", DAY, **added)  # 752.96 g
    slip = next(slip for slip in done.plan.slips if slip.title == "Batch")
    assert "sugar: 1.99 g in a liter of the batch." in slip.steps
    added["materials"] = [row("SUG-1", "1.68 lb", use="sugar")]  # 762.04 g
    with pytest.raises(Asked, match="name-sugar"):
        world.record("add-ingredients", "2026-03-20 11:00", **added)


def test_bourbon_bears_no_coloring(world):
    # 27 CFR 5.143: bourbon contains no coloring, flavoring or blending material
    facts = {"class_code": "whisky", "type_code": "bourbon"}
    put(world, "processing", "P-2", "BOURBON", wine="100", proof="80", **facts)
    receive(world, "CARAMEL", "10 lb", "CAR-1")
    with pytest.raises(Asked, match="name-added"):
        world.record(
            "add-ingredients", DAY, vessel="P-2",
            materials=[row("CAR-1", "1 lb", use="coloring")],
        )  # fmt: skip


def test_a_gauge_above_the_sum_is_asked_about(world):
    receive(world, "SUGAR", "100 lb", "SUG-1")
    fields = {"materials": [row("SUG-1", "60 lb", use="sugar")], "formula": "7"}
    with pytest.raises(Asked, match="gauge-gain"):
        add(world, gauge=gauge("103", "79"), **fields)


def test_a_late_record_stands_at_its_own_moment(world):
    receive(world, "SUGAR", "100 lb", "SUG-1")
    world.record("lose", "2026-03-22 09:00", vessel="SHELF", cause="spill", amount="1 lb")
    fields = {"materials": [row("SUG-1", "6 lb", use="sugar")], "formula": "7"}
    done = add(world, "2026-03-10 10:00", **fields)
    assert done.entry.happened_at == world.when("2026-03-10 10:00")
    assert held("P-1") == [("processing", f"B-{done.entry.number}", 10000, 8000)]
