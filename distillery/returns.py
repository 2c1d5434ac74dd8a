"""Spirits that come back into bond: their facts, what leaves the taxpaid stock, the claim's day.

27 CFR 19.452 and 19.264; what bottles of our own shop were worth by the book, and what the gauge
finds, differ outside bond.
"""

from datetime import date
from typing import Any

from distillery.bottled import carried, in_store
from distillery.plans import gallons, lot_like, place, tenths
from ledger.gauging import Gauge
from ledger.looking import Held, Look
from ledger.models import Lot
from ledger.plan import Leg, NewLot, Place

CLAIM_MONTHS = 6  # 27 CFR 19.264: a claim is filed within six months of the return


def as_bulk(lot: Lot, code: str, *, stage: str) -> NewLot:
    """The facts of bottled *lot* once it is dumped: no longer a product."""
    return lot_like(
        lot, code, stage=stage, unit="pg", form="", product="", bottle_ml=None, per_case=None,
        label_proof=None,
    )  # fmt: skip


def out_of_shop(
    held: Held, bottles: int, to: Place, gauge: Gauge, *, is_whole: bool = False
) -> list[Leg]:
    """The legs that bring *bottles* of taxpaid stock into bond at what the *gauge* found.

    What is not bottled comes in part, or with *is_whole* to the last of it. What the book had
    beyond the gauge is lost outside bond, and what it lacked is a gain there.
    """
    wine, proof = gallons(gauge)
    at = place(held)
    booked = carried(held, bottles) if bottles else (wine, proof)
    if is_whole and not bottles:
        booked = (held.wine_gallons, held.proof_gallons)
    less = (max(0, booked[0] - wine), max(0, booked[1] - proof))
    more = (max(0, wine - booked[0]), max(0, proof - booked[1]))
    legs = [Leg(Place("gain", at.lot), at, "count", 0, *more)] if any(more) else []
    legs.append(Leg(at, to, "return", 0, wine, proof, proof=tenths(gauge.proof)))
    if bottles:
        legs.append(Leg(at, Place("glass", at.lot), "return", bottles))
    if any(less):
        legs.append(Leg(at, Place("taxpaid_loss", at.lot), "count", 0, *less))
    return legs


def of_shop(fields: dict[str, Any], look: Look) -> tuple[Held, int]:
    """The holding of our own shop that comes back, and its bottles; all of it when not counted."""
    held = in_store(look, fields["lot"], fields["shop"], account="taxpaid")
    per_case = held.lot.per_case or 0
    bottles = int(fields["cases"] or 0) * per_case + int(fields["bottles"] or 0)
    return held, bottles or held.amount


def last_day_to_claim(day: date) -> date:
    """Six months after *day*, by the calendar; the last day of a shorter month."""
    month = day.month - 1 + CLAIM_MONTHS
    year, month = day.year + month // 12, month % 12 + 1
    first_of_next = date(year + month // 12, month % 12 + 1, 1)
    return date(year, month, min(day.day, (first_of_next - date.resolution).day))
