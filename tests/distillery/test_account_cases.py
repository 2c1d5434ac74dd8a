"""Which account leads where, and what counts as a loss: check cases with their sources."""

from datetime import date

import pytest

from distillery.recording import Refused
from ledger.flows import FLOWS
from ledger.models import Lot
from reports.forms.storage_5110_11 import STORAGE
from reports.storage_losses import tank_loss
from tests.distillery.stock import moved, put
from tests.rule_cases import named
from tests.world import make_barrels, make_world

# The ends of 27 CFR 19.590(c), in its words, as accounts of the book.
ENDS = {
    "tax payment": "tax_determined|taxpaid", "United States": "us",
    "hospital/scientific/educational": "hospital", "export": "export",
    "foreign trade zone": "ftz", "customs manufacturing warehouse": "cmw",
    "vessels and aircraft": "vessels", "bonded winery": "winery",
    "customs bonded warehouse": "cbw", "research/development/testing": "research",
    "processing": "processing", "production": "redistil",
    "in bond to other premises": "other_plant", "destruction": "destroyed",
}  # fmt: skip


@pytest.mark.parametrize("row", named("move-proc-storage"))
def test_nothing_goes_from_processing_to_storage(row):
    found = [flow for flow in FLOWS if flow[:2] == ("processing", "storage")]
    assert bool(found) == row["expect"]["allowed"], row["source"]


@pytest.mark.parametrize("row", named("move-proc-production"))
def test_processing_gives_spirits_for_redistillation(row):
    found = ("processing", "redistil", "redistil") in FLOWS
    assert found == row["expect"]["allowed"], row["source"]
    assert ("redistil", "production", "charge") in FLOWS


WINE = {
    "sender": "winery", "consignor": "Shoal Wines (invented)", "registry": "BWC-XX-1",
    "document": "TR-1", "consigned": "24", "seals": "intact", "account": "storage",
    "family": "wine", "vessel": "S-2",
    "gauge": {"volume": "100 gal", "temperature": "60 F", "proof": "24"},
}  # fmt: skip


@pytest.mark.django_db
@pytest.mark.parametrize("row", named("store-wine-source"))
def test_wine_enters_storage_from_a_bonded_winery(row):
    world = make_world()
    world.record("receive-in-bond", "2026-02-03 10:00", **WINE)
    assert (moved("winery", "storage", "receive")[1] > 0) == row["expect"]["allowed"], row["source"]
    assert Lot.objects.get().designation.class_code == "wine"


@pytest.mark.django_db
@pytest.mark.parametrize("row", named("store-wine-made"))
def test_no_wine_enters_storage_from_the_plants_own_making(row):
    assert row["expect"]["allowed"] is False
    world = make_world()
    put(world, "production", "RCV-1", "H", wine="40", proof="9.6", stage="fraction")
    with pytest.raises(Refused) as refused:
        world.record(
            "production-gauge", "2026-02-03 10:00", vessel="RCV-1", account="storage",
            into="S-1", gauge=WINE["gauge"], family="wine", distilled_at="24",
        )  # fmt: skip
    assert list(refused.value.errors) == ["family"], row["source"]


@pytest.mark.parametrize("row", named("withdraw-order"))
def test_the_storage_report_keeps_the_order_of_the_law(row):
    order = row["expect"]["order"]
    (part,) = STORAGE.editions[0].parts
    lines = {line.number: line for line in part.lines}
    for item, words in enumerate(order[:-1], 1):
        ends = {to for flow in lines[str(item + 6)].flows for to in flow.ends}
        assert ends == set(ENDS[words].split("|")), (words, row["source"])
    losses = [line for line in part.lines if any("loss" in flow.ends for flow in line.flows)]
    assert [line.number in ("21", "22") for line in losses] == [True]  # from memory which


@pytest.mark.django_db
@pytest.mark.parametrize("row", named("storage-loss-barrels"))
def test_what_a_barrel_loses_is_not_in_the_test_of_tanks(row):
    world = make_world()
    make_barrels(world.premises, "B-1", rated=10)
    put(world, "storage", "B-1", "L", wine="100", proof="100", class_code="rum")
    world.record("lose", "2026-02-03 10:00", vessel="B-1", volume="8 gal", cause="leak",
                 found_how="on the round")  # fmt: skip
    assert moved("storage", "loss", "leak")[2] == 800  # 8 % of what it held
    test = tank_loss(world.premises, date(2026, 2, 1))
    assert (test.lost, test.is_excessive) == (0, False)
    assert row["expect"]["excessive_test_applies"] is False, row["source"]
