"""Hand-made months, posted as raw plans so that they rest on no operation.

The plant and every figure are invented (Marram Point, DSP-XX-00000). January to March 2026:
whiskey into barrels, neutral spirits bought in bond, gin through production, a barrel dumped,
bottling, removals on two invoices, a shortage at the count.
"""

from datetime import UTC, datetime
from typing import Any

from ledger.models import Entry, Premises
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.posting import record
from ledger.writing import Act

JANUARY, FEBRUARY, MARCH, APRIL = (datetime(2026, month, 1).date() for month in (1, 2, 3, 4))
LATER = datetime(2026, 11, 1, tzinfo=UTC)


def spirits(code: str, class_code: str, type_code: str = "", **facts: Any) -> NewLot:
    """A lot of spirits counted in proof gallons."""
    stage = facts.pop("stage", "spirits")
    return NewLot(code, stage, facts.pop("unit", "pg"), code, class_code, type_code, **facts)


def leg(origin: str, to: str, purpose: str, wine: int, proof: int, **more: Any) -> Leg:
    """A leg from ``account lot vessel`` to the same, in hundredths of gallons."""
    return Leg(Place(*origin.split()), Place(*to.split()), purpose,
               wine_gallons=wine, proof_gallons=proof, **more)  # fmt: skip


class Book:
    """Posts raw plans one after another at plant times like ``2026-01-29 18:30``."""

    def __init__(self, premises: Premises) -> None:
        self.premises = premises
        self.count = Entry.objects.filter(premises=premises).count()

    def post(
        self, at: str, *legs: Leg, lots: tuple[NewLot, ...] = (), operation: str = "test",
        document: str = "", form: str = "{}", **more: Any,
    ) -> Entry:  # fmt: skip
        """One entry."""
        self.count += 1
        when = datetime.fromisoformat(at).replace(tzinfo=self.premises.zone)
        named = {key: more.pop(key) for key in ("reason", "reverses", "corrects") if key in more}
        act = Act(operation, when, "ada", f"k{self.count}", form, **named)
        plan = Plan(legs=legs, lots=lots, document=document)
        return record(
            lambda look: plan, premises=self.premises, act=act, signed=True, now=LATER, **more
        ).entry


def january(book: Book) -> None:
    """150.00 PG of bourbon made; 94.40 into new barrels, 23.60 into a used one, 32.00 in a tank."""
    bourbon = spirits("S-1", "whisky", "bourbon", material="grain")
    book.post(
        "2026-01-20 09:00",
        leg("distilled H-1", "production H-1 RCV-1", "collect", 11194, 15010),
        lots=(spirits("H-1", "whisky", "bourbon"),),
    )
    book.post(
        "2026-01-29 10:00",
        leg("production H-1 RCV-1", "loss H-1", "regauge", 0, 10),
        leg("production H-1 RCV-1", "storage S-1 BBL-1", "deposit", 8000, 9440, cooperage="new"),
        leg("production H-1 RCV-1", "storage S-1 BBL-2", "deposit", 2000, 2360, cooperage="used"),
        leg("production H-1 RCV-1", "storage S-1 S-1", "deposit", 1194, 3200, cooperage="tank"),
        lots=(bourbon,),
    )


def february(book: Book) -> None:
    """219.60 PG of neutral spirits bought in bond; 120.00 drawn for gin, 118.70 charged."""
    book.post(
        "2026-02-03 11:00",
        leg("other_plant N-1", "storage N-1 NS", "receive", 11558, 21960),
        leg("other_plant N-1", "loss N-1", "transit", 0, 40),
        lots=(spirits("N-1", "spirits_190", material="grain"),),
    )
    book.post(
        "2026-02-10 08:00", leg("storage N-1 NS", "redistil N-1 S-2", "redistil", 6316, 12000)
    )
    book.post(
        "2026-02-11 08:00",
        leg("redistil N-1 S-2", "production R-1 COL", "charge", 6247, 11870),
        lots=(spirits("R-1", "gin", stage="run", redistilled=True),),
    )
    book.post(
        "2026-02-11 18:00",
        leg("production R-1 COL", "production R-1h RCV-2", "cut", 6000, 11020),
        leg("production R-1 COL", "production R-1f FEINTS", "cut", 200, 640),
        leg("production R-1 COL", "loss R-1", "run", 47, 210),
        lots=(spirits("R-1h", "gin"), spirits("R-1f", "gin")),
    )
    book.post(
        "2026-02-12 09:00",
        leg("production R-1h RCV-2", "processing S-2 P-1", "deposit", 6000, 11020),
        lots=(spirits("S-2", "gin", "distilled gin", redistilled=True),),
    )


def march(book: Book) -> None:
    """A barrel dumped short, gin bottled, two invoices, a bottle missing at the count."""
    book.post(
        "2026-03-05 09:00",
        leg("storage S-1 BBL-1", "processing B-1 P-2", "transfer", 7500, 8800),
        leg("storage S-1 BBL-1", "loss S-1", "dump", 500, 640),
        lots=(spirits("B-1", "whisky", "bourbon", stage="batch"),),
    )
    gin = spirits("K-1", "gin", "distilled gin", unit="bottle", stage="bottled", form="bottled",
                  bottle_ml=750, per_case=12, label_proof=900)  # fmt: skip
    book.post(
        "2026-03-10 09:00",
        leg("processing S-2 P-1", "finished K-1 STORE", "bottle", 5700, 10700),
        Leg(Place("glass", "K-1"), Place("finished", "K-1", "STORE"), "bottle", amount=576),
        leg("processing S-2 P-1", "loss S-2", "bottling", 300, 320),
        lots=(gin,),
    )
    remove(book, "2026-03-25 14:00", "501", 360, 3563, 6420)
    remove(book, "2026-03-27 14:00", "502", 12, 119, 214)
    book.post(
        "2026-03-31 17:00",
        Leg(Place("finished", "K-1", "STORE"), Place("shortage", "K-1"), "count", 1, 10, 18),
        operation="count", form='{"kind": "bottled", "rows": [{"lot": "K-1"}]}',
    )  # fmt: skip


def remove(book: Book, at: str, document: str, bottles: int, wine: int, proof: int) -> Entry:
    """Bottles of K-1 removed on determination of tax."""
    legs = Leg(Place("finished", "K-1", "STORE"), Place("tax_determined", "K-1"), "remove",
               bottles, wine, proof)  # fmt: skip
    return book.post(at, legs, document=document)


def three_months(premises: Premises) -> Book:
    """All three months."""
    book = Book(premises)
    january(book)
    february(book)
    march(book)
    return book
