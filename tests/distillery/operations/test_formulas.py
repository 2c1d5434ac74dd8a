"""The formula of a batch: carried by its lot, asked about where 27 CFR 5.193 wants one."""

from datetime import date

import pytest

from distillery.models import Formula
from distillery.recording import Asked
from ledger.models import Lot
from tests.distillery.stock import put
from tests.world import make_world

pytestmark = pytest.mark.django_db
DAY = "2026-03-20 10:00"
BOURBON = {"class_code": "whisky", "type_code": "straight bourbon", "aged_new": "P2Y"}


@pytest.fixture
def world():
    return make_world()


def blend(world, *parts, into="BT-1", **fields):
    return world.record("blend", DAY, parts=[{"vessel": p} for p in parts], into=into, **fields)


def listed(world, **facts):
    told = {"number": "12", "name": "Point gin", "family": "gin", "approved_on": date(2025, 5, 2)}
    return Formula.objects.create(premises=world.premises, **{**told, **facts})


def test_gin_by_mixing_needs_a_formula(world):
    # 27 CFR 5.193(j): gin mixed with other spirits
    put(world, "processing", "P-1", "X", wine="50", proof="50", class_code="gin")
    put(world, "processing", "P-2", "Y", wine="50", proof="95")
    with pytest.raises(Asked, match=r"gin by mixing \(27 CFR 5\.193\(j\)\)"):
        blend(world, "P-1", "P-2", family="gin")


def test_a_named_formula_answers_and_stays_on_the_lot(world):
    # 27 CFR 19.598: the record of the batch bears the formula number
    put(world, "processing", "P-1", "X", wine="50", proof="50", class_code="gin")
    put(world, "processing", "P-2", "Y", wine="50", proof="95")
    listed(world, flavor_limit="none")
    done = blend(world, "P-1", "P-2", family="gin", formula="12")
    assert Lot.objects.get(code="B-3").formula == "12"
    assert any("approved 2025-05-02; flavors: none" in line for line in done.plan.lines)
    put(world, "processing", "P-1", "Z", wine="5", proof="5", class_code="gin", formula="12")
    blend(world, "P-1", into="BT-1")
    assert Lot.objects.get(code="B-5").formula == "12"


def test_the_question_is_answered_once(world):
    put(world, "processing", "P-1", "X", wine="50", proof="50", class_code="gin")
    put(world, "processing", "P-2", "Y", wine="50", proof="95")
    assert blend(world, "P-1", "P-2", family="gin", confirm=["formula-needed"]).is_new


def test_spirits_of_one_kind_need_none(world):
    put(world, "processing", "P-1", "X", wine="50", proof="50", class_code="rum")
    put(world, "processing", "P-2", "Y", wine="50", proof="50", class_code="rum")
    assert blend(world, "P-1", "P-2").is_new


def test_vodka_and_neutral_spirits_are_one_class(world):
    # 27 CFR 5.142: vodka is neutral spirits
    put(world, "processing", "P-1", "X", wine="50", proof="50", class_code="vodka")
    put(world, "processing", "P-2", "Y", wine="50", proof="95")
    assert blend(world, "P-1", "P-2", family="vodka").is_new


def test_charred_oak_with_reused_oak_is_asked_about(world):
    # 27 CFR 5.193(e)
    put(world, "processing", "P-1", "X", wine="50", proof="50", **BOURBON)
    used = {"class_code": "whisky", "aged_other": "P2Y"}
    put(world, "processing", "P-2", "Y", wine="50", proof="50", **used)
    with pytest.raises(Asked, match=r"charred oak.*5\.193\(e\)"):
        blend(world, "P-1", "P-2")


def test_a_formula_without_approval_is_asked_about(world):
    # 27 CFR 5.192: the formula is approved before it is used
    put(world, "processing", "P-1", "X", wine="50", proof="50", class_code="gin")
    put(world, "processing", "P-2", "Y", wine="50", proof="50", class_code="gin")
    listed(world, approved_on=None)
    with pytest.raises(Asked, match="not yet approved"):
        blend(world, "P-1", "P-2", formula="12")


def test_a_number_that_is_not_listed_is_told_and_kept(world):
    put(world, "processing", "P-1", "X", wine="50", proof="50", class_code="gin")
    put(world, "processing", "P-2", "Y", wine="50", proof="50", class_code="gin")
    done = blend(world, "P-1", "P-2", formula="77")
    assert any("not on the plant's list" in line for line in done.plan.lines)


def test_blended_whisky_wants_a_fifth_straight_by_proof_gallons(world):
    # 27 CFR 5.143(c)(10): 20 % straight whisky on a proof gallon basis; here 10 of 105
    put(world, "processing", "P-1", "X", wine="10", proof="10", **BOURBON)
    put(world, "processing", "P-2", "Y", wine="50", proof="95")
    fields = {"family": "whisky", "type_code": "blended", "distilled_at": "150", "formula": "9"}
    with pytest.raises(Asked, match="20 % or more straight whisky"):
        blend(world, "P-1", "P-2", **fields)


def test_the_shares_are_told_by_proof_gallons(world):
    # 40 of 80 PG each, though 40 and 21 gallons: 27 CFR 5.143 counts proof gallons
    put(world, "processing", "P-1", "X", wine="40", proof="40", **BOURBON)
    put(world, "processing", "P-2", "Y", wine="21.05", proof="40")
    fields = {"family": "whisky", "type_code": "blended", "distilled_at": "150", "formula": "9"}
    done = blend(world, "P-1", "P-2", **fields)
    assert any("straight bourbon 50.0 %" in line for line in done.plan.lines)


def test_the_slip_names_each_source_and_its_record(world):
    # 27 CFR 19.598: serial of the source record, what came from earlier batches, the sum
    put(world, "processing", "P-1", "X", wine="50", proof="50", class_code="rum")
    put(world, "processing", "P-2", "Y", wine="30", proof="30", class_code="rum")
    first = blend(world, "P-1", "P-2", caramel=True, source_record="TR-4")
    slip = next(slip for slip in first.plan.slips if slip.title == "Batch")
    assert slip.readings[0] == (
        "previously dumped from P-1: X Spirits, record entry 1", "50.00 gal, 50.00 PG",
    )  # fmt: skip
    assert dict(slip.result)["all alcoholic ingredients"] == "80.00 PG"
    assert slip.steps == ("It holds caramel.", "Source record TR-4.")
