"""A batch with wine and flavor by the figures of 27 CFR 19.246(c), bottled and removed.

The lots, the plant and the removals are invented (Marram Point, DSP-XX-00000).
"""

from ledger.plan import Leg, Place
from tests.distillery.stock import put
from tests.reports.months import Book, leg, spirits
from tests.world import World

GENERAL_RATE = "10.27"  # of the batch of 27 CFR 19.246(c), at $13.50


def mixed(world: World) -> Book:
    """2,249.1 PG of spirits, 2,265.0 gal of wine at 14 %, 1,020.0 at 19 %, 100.9 PG of flavors."""
    put(world, "processing", "P-1", "RUM", wine="2249.1", proof="2249.1", class_code="rum")
    for vessel, lot, wine, proof in (
        ("P-2", "W-14", "2265.0", "634.2"), ("NS", "W-19", "1020.0", "387.6"),
    ):  # fmt: skip
        put(world, "processing", vessel, lot, wine=wine, proof=proof, class_code="wine", unit="gal")
    put(
        world, "materials", "SHELF", "VAN-1", wine="144.14", proof="100.9", amount=14414,
        stage="material", unit="gal", class_code="", name="Vanilla extract",
    )  # fmt: skip
    book = Book(world.premises)
    book.post(
        "2026-03-02 09:00",
        leg("processing RUM P-1", "processing B-1 P-1", "blend", 224910, 224910),
        leg("processing W-14 P-2", "processing B-1 P-1", "mix_wine", 226500, 63420),
        leg("processing W-19 NS", "processing B-1 P-1", "mix_wine", 102000, 38760),
        leg("materials VAN-1 SHELF", "processing B-1 P-1", "flavor", 14414, 10090),
        lots=(spirits("B-1", "other", "liqueur", stage="batch"),),
    )
    bottle(book, "2026-03-05 09:00", "K-1", 1200)
    return book


def bottle(book: Book, at: str, lot: str, bottles: int) -> None:
    """Bottles of 750 mL at 60 proof out of B-1: 0.118877 PG each (27 CFR 19.582)."""
    wine, proof = round(bottles * 19.8129), round(bottles * 11.88774)
    book.post(
        at,
        leg("processing B-1 P-1", f"finished {lot} STORE", "bottle", wine, proof),
        Leg(Place("glass", lot), Place("finished", lot, "STORE"), "bottle", amount=bottles),
        lots=(
            spirits(
                lot, "other", "liqueur", unit="bottle", stage="bottled", form="bottled",
                bottle_ml=750, per_case=12, label_proof=600, product="LIQ-750",
            ),
        ),
    )  # fmt: skip


def remove(book: Book, at: str, document: str, lot: str, bottles: int) -> None:
    """Bottles of *lot* removed on determination of tax."""
    wine, proof = round(bottles * 19.8129), round(bottles * 11.88774)
    book.post(
        at,
        Leg(Place("finished", lot, "STORE"), Place("tax_determined", lot), "remove",
            bottles, wine, proof),
        document=document,
    )  # fmt: skip
