"""Bottles and bulk sent to several States, all invented, out of Marram Point (DSP-XX-00000)."""

from tests.distillery.stock import put
from tests.world import World, make_vessel, make_world


def stocked() -> World:
    """Gin in 750 mL at 90 proof, over-proof rum at 126, miniatures of 50 mL, bulk in a tank."""
    world = make_world()
    make_vessel(world.premises, "SHOP", "store")
    put(world, "processing", "P-1", "B-1", wine="100", proof="85.5", class_code="rum", name="Rum")
    for lot, name, class_code, ml, proof, wine, pg, bottles in (
        ("K-1", "Point gin", "gin", 750, 900, "118.88", "106.99", 600),
        ("K-2", "Gull rum", "rum", 750, 1260, "23.78", "29.96", 120),
        ("K-3", "Point gin", "gin", 50, 900, "15.85", "14.27", 1200),
    ):
        put(
            world, "finished", "STORE", lot, wine=wine, proof=pg, amount=bottles,
            stage="bottled", unit="bottle", form="bottled", class_code=class_code, name=name,
            bottle_ml=ml, per_case=12, label_proof=proof,
        )  # fmt: skip
    return world


def send(world: World, document: str, state: str, at: str = "2026-03-25 14:00", **more: object):
    """One removal on determination of tax to *state*."""
    fields = {"consignee": "Harbor Wholesale (invented)", "initials": "ab"}
    return world.record(
        "remove", at, document=document, consignee_state=state, **fields | more
    )  # fmt: skip
