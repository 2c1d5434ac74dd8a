"""Receiving a material: pounds from a supplier into a bin."""

import pytest

from distillery.models import Material
from distillery.recording import Refused
from ledger.models import Holding
from tests.world import make_world

pytestmark = pytest.mark.django_db


def test_it_opens_a_lot_with_its_pounds():
    world = make_world()
    done = world.record(
        "receive-material", "2026-01-05 09:00", material="CORN", quantity="6,000 lb",
        vessel="BIN-1", supplier="Dune Grain (invented)",
    )  # fmt: skip
    held = Holding.objects.get()
    assert (held.account, held.amount, held.lot.code) == ("materials", 600000, "G-1")
    assert done.entry.by == "ada"


def test_a_wrong_unit_is_told_beside_the_field():
    world = make_world()
    with pytest.raises(Refused) as refused:
        world.record(
            "receive-material", "2026-01-05 09:00", material="CORN", quantity="20 gal",
            vessel="BIN-1", supplier="Dune Grain (invented)",
        )  # fmt: skip
    assert list(refused.value.errors) == ["quantity"]


def test_a_flavoring_bears_its_strength():
    # 27 CFR 19.581(f): kind, formula number, proof gallons; 2 gal at 140 proof are 2.80 PG (30.51)
    world = make_world()
    Material.objects.create(
        premises=world.premises, code="ESS", name="Orange essence", kind="other", unit="gal"
    )
    done = world.record(
        "receive-material", "2026-01-05 09:00", material="ESS", quantity="2 gal", proof="140",
        formula="F-3", vessel="SHELF", supplier="Dune Grain (invented)",
    )  # fmt: skip
    held = Holding.objects.get()
    assert (held.amount, held.wine_gallons, held.proof_gallons) == (200, 200, 280)
    assert held.lot.formula == "F-3"
    assert "2.80 PG of alcohol" in done.plan.lines[0]
