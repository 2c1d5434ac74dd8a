"""Samples: what each takes from its account, which are free of tax, and the small ones."""

import pytest

from distillery.models import SampleTaken
from distillery.recording import Asked, Refused
from tests.distillery.stock import held, moved, put
from tests.world import make_world

pytestmark = pytest.mark.django_db
AT = "2026-02-06 09:00"
BOTTLES = {
    "stage": "bottled", "unit": "bottle", "class_code": "gin", "form": "bottled",
    "bottle_ml": 750, "per_case": 12, "label_proof": 900, "product": "GIN-750",
}  # fmt: skip
BUYER = {
    "purpose": "customer", "recipient": "Dune Foods (invented)",
    "recipient_address": "2 Quay, Marram Point", "agreement": "PO 7",
}  # fmt: skip


@pytest.fixture
def world():
    """A hundred gallons at 100 proof in processing, storage, production and redistil; bottles."""
    made = make_world()
    for account, vessel in (("processing", "P-1"), ("storage", "S-1"), ("redistil", "NS"),
                            ("production", "RCV-1")):  # fmt: skip
        put(made, account, vessel, f"L-{vessel}", wine="100", proof="100", stage="batch")
    put(made, "finished", "STORE", "K", wine="23.78", proof="21.40", amount=120, **BOTTLES)
    return made


def sample(world, vessel, at=AT, **fields):
    fields = {"purpose": "laboratory", "disposition": "used up", **fields}
    return world.record("sample", at, vessel=vessel, **fields)


def test_a_sample_is_its_volume_at_the_books_strength(world):
    # 750 mL is 0.198 gallon (27 CFR 19.582: 0.264172 gallon a liter), kept to the hundredth
    sample(world, "P-1", volume="750")
    assert moved("processing", "research", "sample") == (0, 20, 20)


def test_storage_and_bottles_go_to_research(world):
    # 27 CFR 19.590(c)(10), 19.601(b): lines for research, development, testing.
    # Two of 120 bottles at 21.40 PG are 0.36
    sample(world, "S-1", volume="200 mL", number=5)
    sample(world, "STORE", bottles=2)
    assert moved("storage", "research", "sample") == (0, 26, 26)
    assert moved("finished", "research", "sample") == (2, 40, 36)


@pytest.mark.parametrize(("vessel", "account"), [("RCV-1", "production"), ("NS", "redistil")])
def test_before_the_production_gauge_it_is_in_the_daily_record_only(world, vessel, account):
    # 27 CFR 19.585(a)(2); TTB F 5110.40 line 12 is for what was gauged as produced
    done = sample(world, vessel, volume="750")
    assert moved(account, "loss", "sample") == (0, 20, 20)
    assert any("19.585(a)(2)" in line for line in done.plan.lines)


def test_a_gauged_sample_of_production_counts_as_produced(world):
    # 27 CFR 19.585(b): research, development or testing is a withdrawal; 0.5 gal at 120 proof
    gauge = {"volume": "0.5 gal", "temperature": "60 F", "proof": "120"}
    sample(world, "RCV-1", volume="0.5 gal", gauge=gauge)
    assert moved("production", "research", "sample") == (0, 50, 60)
    assert not SampleTaken.objects.exists()


def test_a_gauge_belongs_to_production_alone(world):
    gauge = {"volume": "0.5 gal", "temperature": "60 F", "proof": "120"}
    with pytest.raises(Refused) as refused:
        sample(world, "P-1", volume="0.5 gal", gauge=gauge)
    assert list(refused.value.errors) == ["gauge"]


def test_small_pulls_move_the_book_once_they_make_a_hundredth(world):
    # 10, 20, 30 and 40 mL are 0.0026, 0.0053, 0.0079 and 0.0106 gal (27 CFR 19.582)
    for minute in range(4):
        sample(world, "P-1", f"2026-02-06 09:0{minute}", volume="10 mL")
        booked = moved("processing", "research", "sample")
        assert booked == ((0, 0, 0) if minute == 0 else (0, 1, 1)), minute


def test_a_hundred_small_pulls_are_their_sum(world):
    # 100 x 7 mL = 0.7 L x 0.264172 = 0.1849 gal; at 100 proof 0.18 PG
    for minute in range(100):
        sample(world, "P-1", f"2026-02-06 1{minute // 60}:{minute % 60:02}", volume="7 mL")
    assert moved("processing", "research", "sample") == (0, 18, 18)
    assert SampleTaken.objects.count() == 100


def test_weak_spirits_are_not_rounded_up_pull_by_pull(world):
    # 80 proof: ten pulls of 38 mL are 0.1004 gal and 0.0803 PG, not 0.10
    put(world, "processing", "P-2", "WEAK", wine="100", proof="80")
    for minute in range(10):
        sample(world, "P-2", f"2026-02-06 09:{minute:02}", volume="38 mL")
    assert moved("processing", "research", "sample") == (0, 10, 8)


def test_a_pull_taken_back_counts_no_more(world):
    first = sample(world, "P-1", volume="30 mL")
    assert held("P-1")[0][2] == 9999
    world.record("reverse", "2026-02-06 10:00", entry=first.entry.number, reason="spilt back")
    assert held("P-1")[0][2] == 10000
    sample(world, "P-1", "2026-02-06 11:00", volume="10 mL")
    assert held("P-1")[0][2] == 10000


def test_a_late_pull_rounds_with_the_rest(world):
    sample(world, "P-1", volume="10 mL")
    sample(world, "P-1", "2026-01-20 09:00", volume="10 mL")
    assert moved("processing", "research", "sample") == (0, 1, 1)


@pytest.mark.parametrize("purpose", ["tasting", "market"])
def test_consumers_and_the_market_have_no_samples_free_of_tax(world, purpose):
    # 27 CFR 19.434(d)(1)
    with pytest.raises(Refused, match="Remove from bond") as refused:
        sample(world, "STORE", bottles=1, purpose=purpose)
    assert list(refused.value.errors) == ["purpose"]


def test_a_buyers_sample_names_the_buyer(world):
    # 27 CFR 19.616: outside recipient, name and address
    with pytest.raises(Refused) as refused:
        sample(world, "STORE", bottles=1, purpose="customer")
    assert list(refused.value.errors) == ["recipient"]


def test_a_buyers_sample_of_a_liter_passes_and_more_is_a_removal(world):
    # 27 CFR 19.434(b): 1 liter or less, under a purchase agreement
    assert sample(world, "P-1", volume="1 L", number=2, **BUYER).is_new
    with pytest.raises(Refused, match="1 liter at most") as refused:
        sample(world, "P-1", "2026-02-06 10:00", volume="1.01 L", **BUYER)
    assert list(refused.value.errors) == ["volume"]


def test_a_buyers_sample_without_an_agreement_is_asked_about(world):
    with pytest.raises(Asked, match="no-agreement"):
        sample(world, "STORE", bottles=1, **{**BUYER, "agreement": ""})


@pytest.mark.parametrize(
    ("vessel", "given", "field"),
    [("P-1", {"bottles": 1}, "bottles"), ("STORE", {"volume": "50 mL"}, "volume"),
     ("P-1", {}, "volume"), ("P-2", {"volume": "50 mL"}, "")],
)  # fmt: skip
def test_the_wrong_measure_is_told_beside_it(world, vessel, given, field):
    with pytest.raises(Refused) as refused:
        sample(world, vessel, **given)
    assert list(refused.value.errors) == [field or "vessel"]
