"""What the acts of processing do to the forms' lines: each line caused by its own record.

The line each act fills is that of TTB F 5110.28 (08-2023) and of 27 CFR 19.590(c) for storage.
"""

from datetime import date

import pytest

from distillery.models import Material
from reports.filling import fill
from reports.forms import FORMS
from reports.month_end import filings_of
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = pytest.mark.django_db
_, STORAGE, PROCESSING = FORMS.values()
FEBRUARY = date(2026, 2, 1)
BOTTLES = {
    "stage": "bottled", "unit": "bottle", "class_code": "rum", "form": "bottled",
    "bottle_ml": 750, "per_case": 12, "label_proof": 800,
}  # fmt: skip
HOW = {"place": "yard", "manner": "poured out", "person": "Ada", "person_title": "owner"}


@pytest.fixture
def world():
    """Rum at 80 proof in processing, wine and rum in storage, ten cases: stock of January."""
    made = make_world()
    put(made, "processing", "P-1", "RUM", wine="100", proof="80", class_code="rum")
    put(made, "storage", "S-1", "RAW", wine="50", proof="60", class_code="rum")
    put(made, "storage", "S-2", "PORT", wine="50", proof="20", class_code="wine", unit="gal")
    put(made, "finished", "STORE", "K", wine="23.78", proof="19.02", amount=120, **BOTTLES)
    Material.objects.create(
        premises=made.premises, code="ESS", name="Essence", kind="other", unit="gal"
    )
    made.record(
        "receive-material", "2026-01-20 09:00", material="ESS", quantity="5 gal", proof="70",
        vessel="SHELF", supplier="Dune Grain (invented)", lot="ESS-1",
    )  # fmt: skip
    return made


def lines(form, world):
    filled = fill(form, world.premises, FEBRUARY)
    return {
        f"{part.part} {line.number} {key}".strip(): cell.value
        for part, line, key, cell in filled.every_cell()
        if cell.value
    }


def test_flavoring_and_wine_fill_lines_4_5_and_10(world):
    # 2 gal at 70 proof are 1.40 PG; 10 gal of wine at 20 % are 4.00 PG (27 CFR 30.51)
    world.record(
        "add-ingredients", "2026-02-03 09:00", vessel="P-1", formula="7",
        materials=[{"lot": "ESS-1", "quantity": "2 gal"}],
        wines=[{"vessel": "S-2", "volume": "10 gal"}],
    )  # fmt: skip
    found = lines(PROCESSING, world)
    assert (found["I 2 b"], found["I 10 b"], found["I 5 c"]) == (400, 400, 400)
    assert found["I 4 c"] == 140
    assert (found["I 8 c"], found["I 25 c"], found["I 26 c"]) == (8540, 8540, 8540)
    assert (found["I 8 b"], found["I 26 b"]) == (400, 400)
    assert lines(STORAGE, world)["17 l"] == 400


def test_rework_fills_lines_40_and_6(world):
    # half of 19.02 PG; a gauge that finds 0.02 PG less is line 24
    gauge = {"volume": "11.86 gal", "temperature": "60 F", "proof": "80"}
    rows = [{"lot": "K", "cases": 5}]
    world.record("rework", "2026-02-03 09:00", bottles=rows, into="P-2", gauge=gauge)
    found = lines(PROCESSING, world)
    assert (found["II 40 b"], found["I 6 c"], found["I 24 c"]) == (951, 951, 2)
    assert (found["II 31 b"], found["II 47 b"]) == (1902, 1902)


def test_packages_fill_lines_9_and_28_as_packaged(world):
    # 10 gal at 80 proof are 8.00 PG
    kegs = [{"number": 1, "kind": "keg", "each": "10 gal"}]
    world.record("package", "2026-02-03 09:00", vessel="P-1", packages=kegs, store="STORE")
    found = lines(PROCESSING, world)
    assert (found["I 9 c"], found["II 28 c"], found["II 46 c"]) == (800, 800, 800)
    assert found["IV 59 c"] == 1000


def test_samples_fill_lines_16_18_and_38(world):
    for vessel, size in (("P-1", {"volume": "1 L"}), ("S-1", {"volume": "1 L"}),
                         ("STORE", {"bottles": 1})):  # fmt: skip
        world.record("sample", "2026-02-03 09:00", vessel=vessel, purpose="laboratory",
                     disposition="used up", **size)  # fmt: skip
    found = lines(PROCESSING, world)
    # 0.264172 gal at 80 proof are 0.21, at 120 0.32 PG; a bottle is 0.16
    assert (found["I 18 c"], found["II 38 b"]) == (21, 16)
    assert lines(STORAGE, world)["16 f"] == 32


def test_destruction_fills_lines_19_20_and_39(world):
    rows = [
        {"vessel": "P-1", "volume": "100 gal", "temperature": "60 F", "proof": "80"},
        {"vessel": "S-1", "volume": "50 gal", "temperature": "60 F", "proof": "120"},
    ]
    world.record(
        "destroy", "2026-02-03 09:00", vessels=rows, bottles=[{"lot": "K", "cases": 10}], **HOW
    )
    found = lines(PROCESSING, world)
    assert (found["I 19 c"], found["II 39 b"]) == (8000, 1902)
    assert lines(STORAGE, world)["20 f"] == 6000


def test_a_wrong_kind_goes_out_on_line_21_and_in_on_line_5(world):
    world.record("reclass", "2026-02-03 09:00", vessel="S-1", family="gin", reason="mislabelled")
    found = lines(STORAGE, world)
    assert (found["21 f"], found["5 g"], found["23 g"]) == (6000, 6000, 6000)


def test_a_taxed_theft_is_a_loss_and_in_the_tax(world):
    # 27 CFR 19.461(b): line 24, and tax is due on it
    world.record("lose", "2026-02-03 09:00", vessel="P-1", cause="theft", volume="10 gal",
                 reported="by letter")  # fmt: skip
    assert lines(PROCESSING, world)["I 24 c"] == 800


def test_a_month_with_all_of_them_ties(world):
    # 5110.28: 8 = 26, 31 = 47, 9 = 28, 10(b) = 5(c), 40 = 6; 5110.11: 6 = 24 in every column
    at = (f"2026-02-{day:02} 09:00" for day in range(2, 28))
    gauge = {"volume": "109 gal", "temperature": "60 F", "proof": "77"}
    acts = [
        ("add-ingredients", {
            "vessel": "P-1", "formula": "7", "materials": [{"lot": "ESS-1", "quantity": "2 gal"}],
            "wines": [{"vessel": "S-2", "volume": "10 gal"}], "gauge": gauge}),
        ("rework", {"bottles": [{"lot": "K", "cases": 2}], "into": "P-2"}),
        ("package", {"vessel": "P-1", "store": "STORE", "formula": "7",
                     "packages": [{"number": 2, "kind": "keg", "each": "10 gal"}]}),
        ("sample", {"vessel": "P-1", "purpose": "laboratory", "disposition": "used up",
                    "volume": "20 mL", "number": 3}),
        ("sample", {"vessel": "STORE", "lot": "K", "purpose": "research",
                    "disposition": "used up", "bottles": 2}),
        ("lose", {"vessel": "P-1", "cause": "leak", "volume": "1 gal"}),
        ("lose", {"vessel": "STORE", "lot": "K", "cause": "breakage", "bottles": 3}),
        ("destroy", {"bottles": [{"lot": "K", "cases": 1}], **HOW}),
        ("reclass", {"vessel": "S-1", "family": "gin", "reason": "mislabelled"}),
        ("reclass", {"lot": "K", "source": "imported", "reason": "mislabelled"}),
    ]  # fmt: skip
    for slug, fields in acts:
        world.record(slug, next(at), **fields)
    found = filings_of(world.premises, FEBRUARY)
    assert [one.title for one in found.checks if not one.holds] == []
