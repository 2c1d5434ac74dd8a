"""The bottling line of the small plant: gin in an open bottling, empties and corks on the shelf."""

from typing import Any

from distillery.models import Material
from distillery.recording import Done
from tests.distillery.operations.test_bottling import TANK, put
from tests.world import World

DAY = "2026-03-21"


def supplies(world: World, at: str = "2026-03-01 09:00", **counts: int) -> dict[str, str]:
    """Pieces received onto the shelf: ``supplies(world, bottle=600)``; their lots by kind."""
    lots = {}
    for kind, count in counts.items():
        Material.objects.get_or_create(
            premises=world.premises, code=kind.upper(),
            defaults={"name": f"Point {kind}", "kind": kind, "unit": "each"},
        )  # fmt: skip
        done = world.record(
            "receive-material", at, material=kind.upper(), quantity=str(count), vessel="SHELF",
            supplier="Bay Glass (invented)",
        )  # fmt: skip
        lots[kind] = done.entry.lots_opened.get().code
    return lots


def opened(world: World, at: str = f"{DAY} 08:00", **more: Any) -> Done:
    """Gin at 90 proof in BT-1 and its bottling open."""
    put(world, **more)
    return world.record("open-bottling", at, vessel="BT-1", product="GIN-750", gauge=TANK)


def bottle(world: World, at: str = f"{DAY} 16:00", **more: Any) -> Done:
    """A day's bottles into STORE."""
    return world.record("bottle", at, vessel="BT-1", store="STORE", **more)
