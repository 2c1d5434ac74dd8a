"""Stock to try operations on: put straight into the book as an opening balance."""

from typing import Any

from ledger.models import Holding, Movement
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.posting import record
from ledger.writing import Act
from tests.world import World

DAY = "2026-01-05 08:00"


def put(
    world: World, account: str, vessel: str, lot: str, *, wine: str, proof: str, amount: int = 0,
    at: str = DAY, **facts: Any,
) -> None:  # fmt: skip
    """*wine* and *proof* gallons of a new *lot* in *vessel*: neutral spirits unless told."""
    told = {"stage": "spirits", "unit": "pg", "name": "Spirits", "class_code": "spirits_190"}
    new = NewLot(lot, **{**told, **facts})
    figures = round(float(wine) * 100), round(float(proof) * 100)
    leg = Leg(Place("opening", lot), Place(account, lot, vessel), "opening", amount, *figures)
    act = Act("test", world.when(at), "ada", f"stock-{lot}-{vessel}", "{}")
    record(lambda look: Plan((leg,), (new,)), premises=world.premises, act=act)


def held(vessel: str) -> list[tuple[str, str, int, int]]:
    """(account, lot, wine gallons, proof gallons) in *vessel* now, what is empty left out."""
    rows = Holding.objects.filter(vessel__code=vessel).exclude(
        amount=0, wine_gallons=0, proof_gallons=0
    )
    return [
        (row.account, row.lot.code, row.wine_gallons, row.proof_gallons)
        for row in rows.select_related("lot")
    ]


def moved(origin: str, to: str, purpose: str) -> tuple[int, int, int]:
    """Summed (amount, wine gallons, proof gallons) of every movement of one flow."""
    rows = Movement.objects.filter(from_account=origin, to_account=to, purpose=purpose)
    sums = [(row.amount, row.wine_gallons, row.proof_gallons) for row in rows]
    return tuple(map(sum, zip(*sums, strict=True))) if sums else (0, 0, 0)  # type: ignore[return-value]
