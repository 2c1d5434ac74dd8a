"""Losing and sampling: what each takes from its account."""

import pytest

from distillery.recording import Asked, Refused
from ledger.models import Holding
from ledger.models.book import LIVE
from tests.world import World, make_world

pytestmark = pytest.mark.django_db
BOND = {
    "consignor": "Skerry (invented)", "registry": "DSP-XX-00001", "consigned": "100 PG",
    "seals": "intact", "account": "processing", "family": "spirits", "distilled_at": "190",
    "gauge": {"volume": "100 gal", "temperature": "60 F", "proof": "100"},
}  # fmt: skip


@pytest.fixture
def world() -> World:
    """A hundred gallons at 100 proof in each of two processing tanks."""
    made = make_world()
    for code in ("P-1", "P-2"):
        made.record(
            "receive-in-bond", "2026-02-05 09:00", vessel=code, document=code, lot=f"N{code}",
            **BOND,
        )  # fmt: skip
    return made


def test_a_spill_leaves_at_book_strength(world):
    world.record("lose", "2026-02-06 09:00", vessel="P-1", cause="spill", volume="2.5 gal")
    left = Holding.objects.get(LIVE, vessel__code="P-1")
    assert (left.wine_gallons, left.proof_gallons) == (9750, 9750)


def test_theft_is_asked_about_with_its_duty(world):
    """27 CFR 19.463."""
    with pytest.raises(Asked, match=r"19\.463"):
        world.record("lose", "2026-02-06 09:00", vessel="P-1", cause="theft", volume="5 gal")


def test_a_sample_is_its_volume_at_the_books_strength(world):
    """750 mL is 0.198 gallon (19.582: 0.264172 gallon a liter), kept to the hundredth."""
    done = world.record(
        "sample", "2026-02-06 09:00", vessel="P-1", volume="750", purpose="laboratory",
        disposition="used up",
    )  # fmt: skip
    leg = done.entry.movements.get()
    assert (leg.to_account, leg.wine_gallons, leg.proof_gallons) == ("research", 20, 20)


def test_a_pull_too_small_for_the_book_says_so(world):
    with pytest.raises(Refused, match="month's other pulls"):
        world.record(
            "sample", "2026-02-06 09:00", vessel="P-1", volume="10 mL", purpose="laboratory",
            disposition="used up",
        )  # fmt: skip
