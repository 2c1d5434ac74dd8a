"""Losses by cause: what each takes from its account, and on which tax is due."""

import pytest

from distillery.recording import Asked
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
