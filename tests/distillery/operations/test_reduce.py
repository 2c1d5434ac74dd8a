"""Reducing with water: gallons come in, contraction goes out, the alcohol stays."""

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Holding
from tests.world import World, make_world

pytestmark = pytest.mark.django_db


@pytest.fixture
def world() -> World:
    """Eight gallons of 190 proof spirits would be too few: a hundred stand in NS."""
    made = make_world()
    made.record(
        "receive-in-bond", "2026-02-05 09:00", consignor="Skerry (invented)",
        registry="DSP-XX-00001", document="T-1", consigned="190 PG", seals="intact",
        account="storage", vessel="NS", family="spirits", distilled_at="190", lot="N",
        gauge={"volume": "100 gal", "temperature": "60 F", "proof": "190"},
    )  # fmt: skip
    return made


def held() -> tuple[int, int]:
    row = Holding.objects.get(account="storage")
    return row.wine_gallons, row.proof_gallons


def test_water_adds_gallons_less_the_contraction(world):
    """50 + 50 volumes of alcohol and water shrink (process chemistry; common practice)."""
    world.record("reduce", "2026-02-06 09:00", vessel="NS", water="90 gal")
    wine, proof = held()
    assert proof == 19000
    assert 18000 < wine < 19000


def test_the_computed_water_reaches_the_proof_by_weight(world):
    """27 CFR 30.64: the weight adds up, the alcohol stays, so the strength is the one wanted."""
    world.record("reduce", "2026-02-06 09:00", vessel="NS", to_proof="100")
    wine, proof = held()
    assert proof == 19000
    assert wine == pytest.approx(19000, abs=2)


def test_the_lot_stays_what_it_is(world):
    world.record("reduce", "2026-02-06 09:00", vessel="NS", water="10 gal")
    assert Holding.objects.get(account="storage").lot.code == "N"


def test_what_the_gauge_finds_less_is_a_loss(world):
    done = world.record(
        "reduce", "2026-02-06 09:00", vessel="NS", water="90 gal",
        gauge={"volume": "183 gal", "temperature": "60 F", "proof": "103.6"},
    )  # fmt: skip
    loss = done.entry.movements.get(to_account="loss")
    assert held() == (18300, 18959)
    assert (loss.purpose, loss.proof_gallons) == ("reduce", 41)


def test_water_that_brings_alcohol_is_asked_about(world):
    with pytest.raises(Asked, match="Water brings none"):
        world.record(
            "reduce", "2026-02-06 09:00", vessel="NS", water="90 gal",
            gauge={"volume": "183 gal", "temperature": "60 F", "proof": "110"},
        )  # fmt: skip


def test_it_does_not_cut_upwards(world):
    with pytest.raises(Refused, match="cut to less than that"):
        world.record("reduce", "2026-02-06 09:00", vessel="NS", to_proof="195")


def test_water_or_a_proof_is_given_not_both(world):
    with pytest.raises(Refused, match="Give the water added"):
        world.record("reduce", "2026-02-06 09:00", vessel="NS", to_proof="100", water="1 gal")
