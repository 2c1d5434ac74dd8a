"""The plant that sequences begin with: something in every account, an open run and bottling."""

from distillery.models import Material
from tests.world import World, make_barrels, make_vessel, make_world

MORE = [
    ("E-1", "tank", 500), ("E-2", "tank", 500), ("E-3", "tote", 275), ("RD", "tank", 300),
    ("POT-2", "still", 100), ("BT-2", "bottling_tank", 300), ("TUN-2", "tun", 100),
    ("BIN-3", "bin", None),
    ("FV-3", "fermenter", 300), ("SHOP", "store", None), ("STORE-2", "store", None),
]  # fmt: skip
PIECES = [("BOTTLE", "bottle"), ("CLOSURE", "closure"), ("CARTON", "carton")]
BOURBON = {"family": "whisky", "type_code": "bourbon", "distilled_at": "140", "state": "XX"}
NEUTRAL = {"family": "spirits", "distilled_at": "192"}
GIN = {"family": "gin", "type_code": "distilled gin"}


def material(code, vessel, quantity):
    return {"account": "materials", "vessel": vessel, "material": code, "quantity": quantity,
            "lot": f"{code}-1"}  # fmt: skip


def spirits(account, vessel, wine, proof, lot, **facts):
    return {"account": account, "vessel": vessel, "wine_gallons": wine, "proof_gallons": proof,
            "lot": lot, **facts}  # fmt: skip


STANDING = [
    material("CORN", "BIN-1", "20,000 lb"), material("RYE", "BIN-2", "5,000 lb"),
    material("YEAST", "SHELF", "50,000 g"), material("ENZYME", "SHELF", "5,000 g"),
    material("JUNIPER", "SHELF", "50,000 g"), material("SUGAR", "SHELF", "900 lb"),
    material("BOTTLE", "SHELF", "5,000"), material("CLOSURE", "SHELF", "5,000"),
    material("CARTON", "SHELF", "500"),
    {"account": "fermenting", "vessel": "FV-1", "wine_gallons": "250", "lot": "W-A"},
    {"account": "fermenting", "vessel": "FV-2", "wine_gallons": "250", "lot": "W-B"},
    spirits("production", "FEINTS", "40", "30", "F-A", **BOURBON),
    spirits("production", "RCV-1", "40", "52", "F-B", **BOURBON),
    spirits("redistil", "RD", "100", "190", "N-A", **NEUTRAL),
    spirits("storage", "S-1", "200", "240", "S-A", **BOURBON),
    spirits("storage", "NS", "200", "380", "S-B", **NEUTRAL),
    spirits("storage", "S-2", "100", "120", "S-C", family="rum", distilled_at="150"),
    *(spirits("storage", f"B-{n}", "10", "11.8", "24A30", aged_from="2024-01-30", **BOURBON)
      for n in range(1, 5)),
    *(spirits("storage", f"B-{n}", "10", "12", "25A30", aged_from="2025-01-30", family="rum",
              distilled_at="150") for n in range(5, 7)),
    spirits("processing", "P-1", "200", "180", "B-A", **GIN),
    spirits("processing", "P-2", "200", "320", "B-B", family="vodka", distilled_at="192"),
    spirits("processing", "BT-1", "120", "108", "B-C", **GIN),
    {"account": "finished", "vessel": "STORE", "product": "GIN-750", "bottles": "1200",
     "lot": "K-A"},
    {"account": "finished", "vessel": "STORE", "product": "VODKA-750", "bottles": "600",
     "lot": "K-B"},
    {"account": "taxpaid", "vessel": "SHOP", "product": "GIN-750", "bottles": "60", "lot": "K-C"},
]  # fmt: skip


def furnish(world: World) -> None:
    """More vessels, barrels and materials than the small plant has."""
    for code, kind, size in MORE:
        make_vessel(world.premises, code, kind, size)
    make_barrels(world.premises, *(f"B-{n}" for n in range(1, 13)))
    make_barrels(world.premises, "U-1", "U-2", "U-3", cooperage="R")
    for code, kind in PIECES:
        Material.objects.create(
            premises=world.premises, code=code, name=code.title(), kind=kind, unit="each"
        )
    Material.objects.create(
        premises=world.premises, code="SUGAR", name="Cane sugar", kind="other", unit="lb"
    )


def begun() -> World:
    """The plant as the sequences find it on 5 January 2026."""
    world = make_world()
    furnish(world)
    world.record("opening-balance", "2026-01-01 08:00", rows=STANDING)
    world.record("charge", "2026-01-02 08:00", still="POT", family="whisky", type_code="bourbon",
                 sources=[{"vessel": "FV-1", "volume": "120 gal"},
                          {"vessel": "FEINTS", "volume": "10 gal"}])  # fmt: skip
    world.record("still-charge-processing", "2026-01-02 09:00", still="COL", formula="1",
                 sources=[{"vessel": "P-2", "volume": "20 gal"}], water="20 gal")  # fmt: skip
    world.record("open-bottling", "2026-01-03 08:00", vessel="BT-1", product="GIN-750",
                 gauge={"volume": "120 gal", "temperature": "60 F", "proof": "90"})  # fmt: skip
    world.record("bottle", "2026-01-03 12:00", vessel="BT-1", store="STORE", cases=10, loose=4)
    buyer = {"consignee": "Harbor Wholesale (invented)", "initials": "ab"}
    for document, more in (("900", {"not_gone": True, "stands_at": "by the dock"}), ("901", {})):
        world.record("remove", "2026-01-04 08:00", document=document, **buyer, **more,
                     rows=[{"lot": "K-A", "cases": 2}])  # fmt: skip
    return world
