"""Receiving what is not plain bulk: packages and their troubles, cases, wine, customs goods."""

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Entry, Lot, Movement
from ledger.verifying import verify
from tests.distillery.stock import held, moved, put
from tests.world import make_barrels, make_world

pytestmark = pytest.mark.django_db
DAY = "2026-02-03 10:00"
BOURBON = {"family": "whisky", "type_code": "bourbon", "distilled_at": "135"}


def receive(world, at=DAY, **fields):
    told = {
        "consignor": "Dune Spirits (invented)", "registry": "DSP-XX-99999", "document": "TR-17",
        "seals": "intact", "account": "storage", "family": "spirits", "distilled_at": "190",
    }  # fmt: skip
    told |= fields
    return world.record(
        "receive-in-bond", at, **{name: value for name, value in told.items() if value is not None}
    )


def in_bulk(volume, proof="190", **more):
    gauge = {"volume": f"{volume} gal", "temperature": "60 F", "proof": proof}
    return {"vessel": "S-2", "gauge": gauge, "consigned": "219.6", **more}


def package(code="B-1", **more):
    return {"barrel": code, "wine_gallons": "10", "proof_gallons": "11.8", **more}


@pytest.fixture
def world():
    world = make_world()
    make_barrels(world.premises, "B-1", "B-2", rated=10)
    return world


def asked(world, **fields):
    with pytest.raises(Asked) as refused:
        receive(world, **fields)
    return [question.code for question in refused.value.plan.questions]


def test_a_weighed_package_comes_at_its_weight(world):
    # 27 CFR 19.621, 19.289(d): to the tenth; its loss is one in transit, 19.462(d)
    row = package(gross="119.5 lb", tare="50 lb", proof="118")
    receive(world, barrels=[row], confirm=["transit-loss-over-1"], **BOURBON)
    proof = held("B-1")[0][3]
    assert proof % 10 == 0
    assert proof < 1180
    assert moved("other_plant", "loss", "transit")[2] == 1180 - proof


def test_packages_neither_sealed_nor_weighed_are_asked_about(world):
    # 27 CFR 19.407, 19.621
    codes = asked(world, seals="none", barrels=[package()], **BOURBON)
    assert codes == ["not-weighed"]
    fields = {"seals": "none", "exemption": "TTB's letter of 3 May", "barrels": [package()]}
    assert receive(world, **fields, **BOURBON).is_new


def test_a_missing_package_is_asked_about_and_lost_in_transit(world):
    # 27 CFR 19.462(c): a missing package is reported at once
    rows = [package(), {**package(), "barrel": "", "state": "missing", "package": "25L01-7"}]
    codes = asked(world, barrels=rows, **BOURBON)
    assert codes == ["report-packages", "transit-loss-over-1"]
    done = receive(world, barrels=rows, reported="by telephone, 3 Feb", **BOURBON)
    assert moved("other_plant", "loss", "transit") == (0, 1000, 1180)
    assert "Package 25L01-7: missing." in done.plan.lines


def test_a_tampered_package_says_what_may_be_assessed(world):
    # 27 CFR 19.463(b): 5 PG a package
    row = package(state="tampered", found="bung loose")
    done = receive(world, barrels=[row], confirm=["report-packages"], **BOURBON)
    assert done.plan.lines[1] == "Package B-1: tampered with. bung loose"
    assert "5.00 PG" in done.plan.lines[2]
    assert held("B-1") == [("storage", "N-1", 1000, 1180)]


def test_a_package_that_came_needs_its_barrel(world):
    with pytest.raises(Refused, match="Name the barrel"):
        receive(world, barrels=[{**package(), "barrel": ""}], **BOURBON)


def test_broken_seals_told_to_ttb_are_not_asked_about(world):
    # 27 CFR 19.407
    fields = in_bulk("115.58", seals="broken", reported="TTB, 3 Feb 9:00, before unloading")
    assert receive(world, **fields).is_new


def test_a_loss_on_which_tax_is_due_is_marked(world):
    # 27 CFR 19.461
    receive(world, **in_bulk("115.00", loss_taxed=True))
    row = Movement.objects.get(to_account="loss")
    assert (row.taxed, row.proof_gallons) == (True, 21960 - 21850)


def test_cases_go_into_finished_goods_by_their_labels(world):
    # 27 CFR 19.286, 19.582, 30.52: 24 x 750 mL at 80 proof are 4.76 WG and 3.80 PG
    rows = [{"product": "VODKA-750", "cases": 2, "store": "STORE"}]
    receive(world, account="finished", cases=rows, family="vodka", distilled_at=None)
    assert held("STORE") == [("finished", "N-1", 476, 380)]
    lot = Lot.objects.get(code="N-1")
    # 26 U.S.C. 5001(c): spirits only bottled elsewhere have no claim to the reduced rates
    assert (lot.bottle_ml, lot.designation.reduced_rate) == (750, False)
    assert moved("other_plant", "finished", "receive") == (24, 476, 380)


def test_cases_and_bulk_keep_to_their_accounts(world):
    with pytest.raises(Refused) as refused:
        receive(world, account="finished", **in_bulk("115.58"))
    assert list(refused.value.errors) == ["account"]


def wine(volume="100", **more):
    fields = {"sender": "winery", "family": "wine", "registry": "BWC-XX-1", "distilled_at": None}
    # 12 % alcohol by volume is 24 proof (27 CFR 30.11): 100 gal are 24 PG
    return in_bulk(volume, "24", consigned="24", **fields) | more


def test_bulk_wine_comes_from_a_winery_with_both_gallons(world):
    # 27 CFR 19.322(b), 19.581(e)
    receive(world, **wine())
    assert held("S-2") == [("storage", "N-1", 10000, 2400)]
    lot = Lot.objects.get(code="N-1")
    assert (lot.stage, lot.designation.class_code) == ("wine", "wine")
    assert moved("winery", "storage", "receive") == (0, 10000, 2400)


def test_wine_may_come_to_wine_and_never_to_spirits(world):
    receive(world, **wine())
    receive(world, **wine("50", consigned="12", document="TR-18"))
    assert held("S-2") == [("storage", "M-2", 15000, 3600)]
    put(world, "processing", "P-1", "B-9", wine="100", proof="190")
    with pytest.raises(Refused, match="is wine"):
        receive(world, **wine(vessel="P-1", account="processing", document="TR-19"))


def test_wine_received_is_dumped_to_processing_as_wine(world):
    # 27 CFR 19.597(a): wine from storage is a receipt of its own
    receive(world, **wine())
    row = {"vessel": "S-2", "volume": "100 gal", "temperature": "60 F", "proof": "24"}
    world.record("dump", "2026-02-04 10:00", into="P-1", vessels=[row])
    ((_, code, *gallons),) = held("P-1")
    assert gallons == [10000, 2400]
    assert Lot.objects.get(code=code).designation.class_code == "wine"


def test_wine_is_not_for_redistillation(world):
    # 27 CFR 19.322(b), 19.342
    with pytest.raises(Refused) as refused:
        receive(world, **wine(account="redistil"))
    assert list(refused.value.errors) == ["family"]


def test_wine_from_coast_to_coast_may_lose_two_percent(world):
    # 27 CFR 19.462(d): wine moved across the continent, 2 %
    fields = wine("98.5", from_coast_to_coast=True)
    assert receive(world, **fields).is_new
    assert asked(world, **wine("98.5", document="TR-20")) == ["transit-loss-over-1"]


def test_customs_goods_keep_their_duty_and_source(world):
    # 27 CFR 19.581(k) and (l)
    fields = in_bulk("115.58", sender="customs", source="imported", registry="port 0101")
    done = receive(world, **fields)
    assert "rate of duty" in " ".join(done.plan.lines)
    assert moved("customs", "storage", "receive") == (0, 11558, 21960)


def test_what_is_held_for_another_names_its_owner(world):
    done = receive(world, **in_bulk("115.58", owner="Heron Distilling (invented)"))
    assert Lot.objects.get(code="N-1").owner == "Heron Distilling (invented)"
    assert "Held for Heron Distilling (invented)." in done.plan.lines


def test_two_owners_in_one_tank_are_told(world):
    receive(world, **in_bulk("50", consigned="95", owner="Heron Distilling (invented)"))
    done = receive(world, **in_bulk("50", consigned="95", document="TR-18"))
    assert "held spirits of another owner" in " ".join(done.plan.lines)


def test_the_record_is_signed_with_name_and_title(world):
    # 27 CFR 19.621(b)(6), 19.45
    with pytest.raises(Refused) as refused:
        receive(world, **in_bulk("115.58", statement=True, signer="Ada"))
    assert list(refused.value.errors) == ["signer_title"]
    signed = {"statement": True, "signer": "Ada", "signer_title": "Owner"}
    done = receive(world, **in_bulk("115.58", **signed))
    assert done.plan.lines[-1] == "Signed by Ada, Owner (27 CFR 19.45)."


def test_a_receipt_dated_back_stands_at_its_day(world):
    receive(world, **in_bulk("115.58"))
    receive(world, at="2026-01-20 10:00", document="TR-9", barrels=[package()], **BOURBON)
    entry = Entry.objects.get(number=2)
    assert entry.happened_at == world.when("2026-01-20 10:00")
    assert verify(world.premises).faults == []


def test_wine_received_can_be_mixed_into_a_batch(world):
    # TTB F 5110.28 lines 2(b), 10(b), 5(c): wine gallons and proof gallons both go along
    receive(world, **wine(account="processing"))
    put(world, "processing", "P-1", "B-9", wine="100", proof="90", class_code="gin", stage="batch")
    world.record(
        "add-ingredients", "2026-02-04 10:00", vessel="P-1",
        wines=[{"vessel": "S-2", "volume": "10 gal"}], formula="1", family="other",
        confirm=["no-formula"],
    )  # fmt: skip
    assert moved("processing", "processing", "mix_wine") == (0, 1000, 240)
    assert held("S-2")[0][2:] == (9000, 2160)


def test_customs_and_wineries_may_send_no_figure_of_theirs(world):
    # the transfer record of 27 CFR 19.620 is a plant's; others' papers may lack proof gallons
    done = receive(world, **in_bulk("115.58", sender="customs", consigned=None))
    assert moved("customs", "storage", "receive") == (0, 11558, 21960)
    assert "transit" not in " ".join(done.plan.lines)
    with pytest.raises(Refused) as refused:
        receive(world, **in_bulk("115.58", consigned=None, document="TR-18"))
    assert list(refused.value.errors) == ["consigned"]


@pytest.mark.parametrize(("volume", "codes"), [("49.50", []), ("49.49", ["transit-loss-over-1"])])
def test_exactly_one_percent_is_still_usual(world, volume, codes):
    # 27 CFR 19.462(d): a loss that exceeds 1 % of what was consigned
    fields = in_bulk(volume, "100", consigned="50.0")
    if codes:
        assert asked(world, **fields) == codes
    else:
        assert receive(world, **fields).is_new
