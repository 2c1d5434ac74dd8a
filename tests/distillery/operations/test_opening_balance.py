"""Opening balances: a running plant starts in the middle."""

from datetime import date

import pytest

from distillery.models import Material
from distillery.operations.opening_balance import OpeningBalanceForm, StandingPart
from distillery.recording import Refused
from ledger.models import Lot, Movement
from ledger.verifying import verify
from tests.distillery.stock import held
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
TOTE = {
    "account": "storage", "vessel": "S-2", "wine_gallons": "115.60", "proof_gallons": "219.60",
    "family": "spirits", "distilled_at": "192", "producer": "Shoal Grain Spirits (invented)",
}  # fmt: skip


@pytest.fixture
def world():
    return make_world()


def open_with(world, *rows, at="2026-01-01 00:30", **more):
    return world.record("opening-balance", at, rows=list(rows), **more)


def test_spirits_stand_where_they_stood(world):
    open_with(world, TOTE)
    assert held("S-2") == [("storage", "S-1", 11560, 21960)]
    row = Movement.objects.get()
    assert (row.from_account, row.purpose) == ("opening", "opening")


def test_the_lot_has_the_facts_its_reports_need(world):
    # columns of TTB F 5110.11: 190 proof and over
    open_with(world, {**TOTE, "source": "imported", "full_rate": True})
    lot = Lot.objects.get()
    kind = lot.designation
    assert (kind.class_code, kind.source, kind.reduced_rate) == ("spirits_190", "imported", False)
    assert (lot.distilled_at, lot.producer) == (1920, "Shoal Grain Spirits (invented)")


def test_barrels_of_one_lot_are_one_lot(world):
    # 27 CFR 19.485: packages filled together are one lot
    make_barrels(world.premises, "26A30-1", "26A30-2")
    barrel = {
        "account": "storage", "lot": "26A30", "wine_gallons": "10", "proof_gallons": "11.8",
        "family": "whisky", "type_code": "bourbon", "distilled_at": "134",
        "aged_from": "2026-01-30",
    }  # fmt: skip
    open_with(
        world, {**barrel, "vessel": "26A30-1"}, {**barrel, "vessel": "26A30-2"},
        at="2026-02-01 09:00",
    )  # fmt: skip
    lot = Lot.objects.get()
    assert (lot.aged_from, lot.wood) == (date(2026, 1, 30), "new")
    assert held("26A30-2") == [("storage", "26A30", 1000, 1180)]


def test_a_lot_goes_on_in_a_second_record(world):
    make_barrels(world.premises, "B-1", "B-2")
    row = {**TOTE, "lot": "25C04"}
    open_with(world, {**row, "vessel": "B-1"})
    open_with(world, {**row, "vessel": "B-2"})
    assert Lot.objects.count() == 1


def test_bottles_are_worth_their_label(world):
    # 148 x 0.75 L x 0.264172 = 29.32 WG (27 CFR 19.582), at 90 proof 26.39 PG (27 CFR 30.52)
    open_with(
        world, {"account": "finished", "vessel": "STORE", "product": "GIN-750", "bottles": "148"}
    )
    assert held("STORE") == [("finished", "K-1", 2932, 2639)]


def test_bottles_open_with_the_figure_last_filed_when_it_is_given(world):
    row = {"account": "finished", "vessel": "STORE", "product": "GIN-750", "bottles": "148"}
    open_with(world, {**row, "proof_gallons": "26.4"})
    assert held("STORE") == [("finished", "K-1", 2932, 2640)]


def test_materials_and_wash_open_too(world):
    corn = {"account": "materials", "vessel": "BIN-1", "material": "CORN", "quantity": "2,000 lb"}
    wash = {"account": "fermenting", "vessel": "FV-1", "wine_gallons": "240"}
    open_with(world, corn, wash)
    rows = Movement.objects.order_by("leg").values_list("amount", "wine_gallons", "to_lot__code")
    assert list(rows) == [(200000, 0, "G-1-1"), (0, 24000, "W-1-2")]
    assert verify(world.premises).faults == []


def test_it_is_the_owners(world):
    with pytest.raises(Refused, match="may not record"):
        open_with(world, TOTE, by=world.operator)


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ({**TOTE, "proof_gallons": ""}, "need gallons and proof gallons"),
        ({**TOTE, "family": ""}, "what kind of spirits"),
        ({**TOTE, "distilled_at": ""}, "distillation proof"),
        ({**TOTE, "account": "finished"}, "need their bottles"),
        ({**TOTE, "account": "finished", "bottles": "3"}, "which product"),
        ({**TOTE, "account": "materials"}, "needs its name and its quantity"),
        ({**TOTE, "account": "shelf"}, "is not one of"),
        ({**TOTE, "wine_gallons": "0", "proof_gallons": "0"}, "more than nothing"),
    ],
)
def test_a_row_that_says_too_little_is_refused(world, row, sentence):
    with pytest.raises(Refused, match=f"Row 1.*{sentence}"):
        open_with(world, row)
    assert not Lot.objects.exists()


def test_a_vessel_holds_one_lot(world):
    with pytest.raises(Refused, match="Row 2: S-2 holds lot"):
        open_with(world, TOTE, TOTE)


def test_one_code_is_one_kind_of_lot(world):
    gin = {"account": "finished", "vessel": "STORE", "product": "GIN-750", "bottles": "3"}
    with pytest.raises(Refused, match="Row 2: Lot X is spirits"):
        open_with(world, {**TOTE, "lot": "X"}, {**gin, "lot": "X"})


def test_a_code_of_another_lot_is_refused(world):
    world.record(
        "receive-material", "2026-01-01 00:10", material="CORN", quantity="9 lb",
        vessel="BIN-1", supplier="Dune Grain (invented)", lot="25C04",
    )  # fmt: skip
    with pytest.raises(Refused, match="already a lot “25C04”"):
        open_with(world, {**TOTE, "lot": "25C04"})


def untouched(field):
    """What a browser posts for a field nobody touched: a list's first choice, an empty box."""
    choices = list(getattr(field, "choices", ()))
    return choices[0][0] if choices else ""


def test_empty_rows_of_a_posted_page_are_left_out(world):
    posted = {f"rows-0-{name}": value for name, value in TOTE.items()}
    blank = {name: untouched(field) for name, field in StandingPart.base_fields.items()}
    posted |= {f"rows-1-{name}": value for name, value in blank.items()}
    form = OpeningBalanceForm({"at": "2026-01-01 00:30", **posted}, premises=world.premises)
    assert form.is_valid(), form.errors
    assert len(form.cleaned_data["rows"]) == 1


def test_empty_bottles_stand_by_their_count(world):
    # pieces are counted, not weighed (common practice, no source)
    Material.objects.create(
        premises=world.premises, code="GLASS", name="Flint 750", kind="bottle", unit="each"
    )
    row = {"account": "materials", "vessel": "SHELF", "material": "GLASS"}
    open_with(world, {**row, "quantity": "1,200"})
    assert (Movement.objects.get().amount, Lot.objects.get().unit) == (1200, "each")
    with pytest.raises(Refused, match="Row 1"):
        open_with(world, {**row, "quantity": "12 lb"}, key="pounds")
