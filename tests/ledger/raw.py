"""A small plant for tests of the book itself, and short ways to write raw plans.

The plant is invented: Marram Point, DSP-XX-00000.
"""

from datetime import UTC, datetime, timedelta

from ledger.models import Entry, Premises, Vessel
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.posting import Posted, record
from ledger.reversing import reversal
from ledger.writing import Act

DAY = datetime(2026, 3, 10, 15, tzinfo=UTC)
NOW = datetime(2026, 11, 20, 12, tzinfo=UTC)
VESSELS = [
    ("BIN", "bin"), ("FV", "fermenter"), ("STILL", "still"), ("T-1", "tank"), ("T-2", "tank"),
    ("B-1", "barrel"), ("P-1", "tank"), ("P-2", "tank"), ("ST", "store"),
]  # fmt: skip


def make_plant(registry="DSP-XX-00000"):
    premises = Premises.objects.create(registry=registry, name="Marram Point (invented)")
    rows = [Vessel(premises=premises, code=code, kind=kind) for code, kind in VESSELS]
    Vessel.objects.bulk_create(rows)
    return premises


def day(number, hour=15):
    """The *number*-th day after 1 March 2026; 15:00 UTC is the plant's forenoon."""
    return datetime(2026, 3, 1, hour, tzinfo=UTC) + timedelta(days=number)


def spirits(code, **facts):
    facts = {"class_code": "spirits_190"} | facts
    return NewLot(code, "spirits", "pg", "Neutral spirits", **facts)


def receive(code="N-{n}", vessel="T-1", wine=10000, proof=19000, **facts):
    origin, to = Place("other_plant", code), Place("storage", code, vessel)
    leg = Leg(origin, to, "receive", 0, wine, proof, proof=1900)
    return Plan(legs=(leg,), lots=(spirits(code, **facts),))


def draw(lot, wine, proof, *, vessel="T-1", account="storage"):
    leg = Leg(Place(account, lot, vessel), Place("loss", lot), "spill", 0, wine, proof)
    return Plan(legs=(leg,))


def transfer(lot, wine, proof, *, vessel="T-1", into="P-1", code="B-{n}"):
    leg = Leg(
        Place("storage", lot, vessel), Place("processing", code, into), "transfer", 0, wine, proof
    )
    return Plan(legs=(leg,), lots=(spirits(code),))


def act(key, *, at=DAY, operation="test", form="{}", by="ada", **more):
    return Act(operation, at, by, key, form, **more)


def post(premises, key, plan, *, signed=False, **more) -> Posted:
    """Post a ready plan; what an Act takes goes to it, the rest to the door."""
    names = ("at", "operation", "form", "reason", "reverses", "corrects", "by")
    mine = {name: more.pop(name) for name in names if name in more}
    more = {"now": NOW} | more
    return record(lambda look: plan, premises=premises, act=act(key, **mine), signed=signed, **more)


def take_back(premises, entry: Entry, key, *, at=None, **more) -> Posted:
    """Reverse *entry*, dated as the entry itself unless told otherwise."""
    more = {"late": "amend", "now": NOW} | more
    return record(
        lambda look: reversal(entry, look),
        premises=premises,
        act=act(key, at=at or entry.happened_at, reverses=entry, reason="recorded in error"),
        signed=True,
        **more,
    )
