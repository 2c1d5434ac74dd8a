"""Kegs and other packages filled in processing: the account, the numbers, the marks."""

import pytest

from distillery.models import PackageSerials
from distillery.package_serials import printed
from distillery.recording import Asked, Refused
from ledger.models import Holding, Lot
from ledger.verifying import verify
from tests.distillery.stock import held, moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db
AT = "2026-04-10 09:00"
KEGS = {"number": 4, "kind": "keg", "each": "13.21 gal"}


@pytest.fixture
def world():
    """A hundred gallons of gin at 90 proof in P-1."""
    made = make_world()
    facts = {"class_code": "gin", "type_code": "distilled gin", "formula": "1", "name": "Gin"}
    put(made, "processing", "P-1", "BATCH", wine="100", proof="90", **facts)
    return made


def fill(world, at=AT, **fields):
    told = {"vessel": "P-1", "product": "GIN-750", "packages": [KEGS], "store": "STORE", **fields}
    return world.record("package", at, **told)


def gauge(volume, proof="90"):
    return {"volume": f"{volume} gal", "temperature": "60 F", "proof": proof}


def test_kegs_leave_processing_for_finished_goods(world):
    # TTB F 5110.28 lines 9 and 28; 13.21 gal at 90 proof are 11.89 PG (27 CFR 30.51), times four
    fill(world)
    assert moved("processing", "finished", "package") == (0, 5284, 4756)
    assert moved("glass", "finished", "package") == (4, 0, 0)
    assert held("P-1") == [("processing", "BATCH", 4716, 4244)]
    assert verify(world.premises).faults == []


def test_they_count_in_the_column_of_packaged_goods(world):
    fill(world)
    row = Holding.objects.select_related("lot__designation").get(account="finished")
    lot = row.lot
    assert (lot.designation.form, lot.designation.class_code) == ("packaged", "gin")
    assert (row.amount, lot.unit, lot.label_proof, lot.formula) == (4, "each", 900, "1")
    assert lot.bottle_ml == 50005  # 13.21 gal x 3785.411784 mL


def test_a_package_weighed_counts_at_its_gauge(world):
    # 27 CFR 19.284(a): packages by weight
    row = {"number": 2, "kind": "drum", "net": "300 lb", "proof": "90"}
    done = fill(world, packages=[row])
    wine, proof = moved("processing", "finished", "package")[1:]
    assert abs(proof * 100 - wine * 90) < 100
    assert done.plan.slips[0].title == "One of Point gin, drums"


def test_a_package_by_volume_says_why(world):
    # 27 CFR 19.284(a)
    with pytest.raises(Refused, match=r"19\.284"):
        fill(world, packages=[{"number": 1, "kind": "keg", **gauge("13")}])


def test_rows_of_different_size_are_lots_of_their_own(world):
    fill(world, packages=[KEGS, {"number": 1, "kind": "drum", "each": "20 gal"}])
    lots = Lot.objects.filter(stage="bottled").values_list("code", "name")
    assert list(lots) == [("K-2", "Point gin, kegs"), ("K-2-2", "Point gin, drums")]


def test_what_the_empty_tank_lacks_is_lost_in_filling(world):
    # 100 less 7 x 13.21 = 7.53 gal; 90.00 less 83.23 = 6.77 PG: line 24
    fill(world, packages=[{**KEGS, "number": 7}], empties=True)
    assert moved("processing", "loss", "fill") == (0, 753, 677)
    assert held("P-1") == []


def test_the_tank_comes_to_its_gauge_first(world):
    # 27 CFR 19.353: gauged before filling begins
    fill(world, gauge=gauge("99"), after=gauge("46"))
    assert moved("processing", "loss", "reduce") == (0, 100, 90)
    assert held("P-1") == [("processing", "BATCH", 4600, 4140)]


def test_numbers_run_on_in_a_series_of_their_own(world):
    # 27 CFR 19.490: packages filled in processing are numbered apart from cases
    assert fill(world).entry.document == "P 1–4"
    second = fill(world, "2026-04-10 10:00", packages=[{**KEGS, "number": 1}])
    assert second.entry.document == "P 5"
    world.record("reverse", "2026-04-10 11:00", entry=second.entry.number, reason="spilt")
    third = fill(world, "2026-04-10 12:00", packages=[{**KEGS, "number": 1}])
    assert third.entry.document == "P 6"
    with pytest.raises(Refused) as refused:
        fill(world, "2026-04-10 13:00", packages=[{**KEGS, "number": 1}], first=3)
    assert list(refused.value.errors) == ["first"]
    assert PackageSerials.objects.count() == 3


@pytest.mark.parametrize(
    ("number", "mark"),
    [(1, "1"), (1_000_000, "1000000"), (1_000_001, "1A"), (2_000_001, "1B"), (27_000_001, "1AA")],
)
def test_after_a_million_a_letter_is_added(number, mark):
    # 27 CFR 19.490
    assert printed(number) == mark


def test_the_marks_are_those_of_the_law(world):
    # 27 CFR 19.488
    slip = next(s for s in fill(world).plan.slips if s.title == "Marks on each package")
    assert dict(slip.readings) == {
        "processor": "Marram Point Spirits (invented)", "plant number": "DSP-XX-00000",
        "kind": "Point gin, kegs", "serial numbers": "P 1–4", "date of fill": "2026-04-10",
        "proof": "90.0", "formula": "1",
    }  # fmt: skip


def test_gin_without_a_formula_is_asked_about(world):
    put(world, "processing", "P-2", "PLAIN", wine="100", proof="90", class_code="gin")
    with pytest.raises(Asked, match="no-formula"):
        fill(world, vessel="P-2", product="")
    assert fill(world, vessel="P-2", product="", formula="9").is_new


def test_a_filled_keg_is_removed_like_any_finished_goods(world):
    fill(world)
    world.record(
        "remove", "2026-04-11 09:00", document="INV-1", consignee="Dune Bar (invented)",
        initials="AD",
        rows=[{"lot": "K-2", "bottles": 1}],
    )  # fmt: skip
    assert moved("finished", "tax_determined", "remove") == (1, 1321, 1189)


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"packages": [{"number": 1, "kind": "keg"}]}, "packages"),
        ({"empties": True, "after": gauge("3")}, "after"),
        ({"vessel": "P-2"}, "vessel"),
    ],
)
def test_what_does_not_fit_is_told_beside_it(world, fields, field):
    with pytest.raises(Refused) as refused:
        fill(world, **fields)
    assert list(refused.value.errors) == [field]


def test_more_than_the_tank_has_is_asked_about(world):
    with pytest.raises(Asked, match="found-more"):
        fill(world, packages=[{**KEGS, "number": 9}])


def test_a_filling_dated_back_stands_at_its_own_moment(world):
    done = fill(world, "2026-02-01 09:00")
    assert done.entry.happened_at == world.when("2026-02-01 09:00")
