"""A barrel with a long life, recorded by its acts: filled, sampled, regauged, moved, refilled."""

from distillery.recording import Done
from tests.distillery.stock import put
from tests.world import World, make_world

MAKER = "Marram Point Spirits (invented), DSP-XX-00000"
RUM = {"class_code": "rum", "name": "Rum", "state": "XX", "producer": MAKER}


def received(world: World) -> Done:
    """Twelve barrels of 15 gallons, B-101 to B-112."""
    return world.record(
        "receive-barrels", "2026-01-05 09:00", barrels="B-101..B-112", rated="15 gal",
        cooper="Dune Cooperage (invented)", cooperage="C", tare="50 lb", place="Yard",
    )  # fmt: skip


def lived_in() -> World:
    """B-101 swelled, filled, moved, sampled, regauged, dumped to a tank, rinsed, filled again."""
    world = make_world()
    received(world)
    put(world, "storage", "S-1", "S-RUM", wine="300", proof="360", at="2026-01-29 09:00", **RUM)
    world.record("barrel-care", "2026-01-28 09:00", barrels="B-101..B-104", done="swelled",
                 hours="24 hours", words="no leak")  # fmt: skip
    world.record("fill-barrels", "2026-01-30 09:00", vessel="S-1", alike="B-101..B-104",
                 each="14.5 gal", proof="120")  # fmt: skip
    world.record("move-barrels", "2026-01-31 09:00", barrels="B-101..B-104",
                 place="Rack 2, row 3, tier 1")  # fmt: skip
    sample = {"barrel": "B-101", "volume": "100 mL", "proof": "119.4", "words": "amber, vanilla"}
    world.record("barrel-sample", "2026-04-30 09:00", samples=[sample], purpose="research",
                 disposition="looked at")  # fmt: skip
    world.record("regauge", "2026-06-30 09:00",
                 vessels=[{"vessel": "B-101", "gross": "157 lb", "proof": "121"}])  # fmt: skip
    row = {"vessel": "B-101", "gross": "154 lb", "tare": "53.5 lb", "proof": "122"}
    world.record("dump-to-tank", "2026-09-14 09:00", vessels=[row], into="S-2")
    gauge = {"volume": "2 gal", "temperature": "60 F", "proof": "30"}
    world.record("rinse", "2026-09-14 12:00", barrels="B-101", water="1.8 gal", into="S-2",
                 account="storage", gauge=gauge)  # fmt: skip
    world.record("fill-barrels", "2026-09-15 09:00", vessel="S-2", alike="B-101", each="13 gal")
    world.record("barrel-care", "2026-09-16 09:00", barrels="B-112", done="sold",
                 whom="A brewery (invented)")  # fmt: skip
    return world
