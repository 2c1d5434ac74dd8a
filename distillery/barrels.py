"""Barrels: how they are filled and gauged, and the movements that fill them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from distillery.ages import age_on, in_wood
from distillery.barrel_part import UNWEIGHED, BarrelPart
from distillery.models import Barrel
from distillery.packages import (
    cooperage_for,
    cooperage_of,
    day_of,
    gauge_step,
    package_lot_code,
    sheets_of,
    wood_for,
)
from distillery.plans import gallons, pg, tenths, wg
from ledger import gauging
from ledger.errors import BadFact
from ledger.gauging import Gauge, GaugingError
from ledger.looking import Look
from ledger.models import Vessel
from ledger.plan import Leg, NewLot, Place, Question, Slip
from ledger.quantities import to_decimal, to_hundredths

__all__ = [
    "UNWEIGHED",
    "BarrelPart",
    "Fill",
    "cooperage_for",
    "cooperage_of",
    "fill",
    "fill_legs",
    "fill_slip",
    "filled_total",
    "overfull_question",
    "package_lot_code",
    "package_lots",
    "refilled",
    "refuse_full",
]
ROOM = Decimal("1.1")  # a rated capacity is a label: real casks differ (common practice, no source)


@dataclass(frozen=True, slots=True)
class Fill:
    """One barrel as filled: its lot, its gauge, and its wood.

    ``cooperage`` is "new" or "used" for the report of deposits, ``wood`` what it is for age.
    """

    vessel: Vessel
    lot: str
    gauge: Gauge
    cooperage: str
    rated_gal: Decimal
    wood: str


def refuse_full(look: Look, vessels: Sequence[Vessel], *, field: str) -> None:
    """Raise BadFact for a barrel named twice or one that still holds something by the book."""
    codes = [vessel.code for vessel in vessels]
    if len(set(codes)) != len(codes):
        raise BadFact("A barrel stands here twice. Give each barrel one row.", field=field)
    held = next(iter(look(*codes)), None)
    if held:
        raise BadFact(
            f"{held.vessel.code} holds {pg(held.proof_gallons)} of lot {held.lot.code} by the "
            "book. Record its dump or move first.",
            field=field,
        )


def _own_gauge(
    row: dict[str, Any], proof: Decimal, step: str, capacity_gal: Decimal
) -> Gauge | None:
    """A barrel's own gauge; weights to half a pound above 10 gallons, else to hundredths.

    27 CFR 30.44.
    """

    def weight(name: str) -> Decimal:
        return gauging.package_weight(row[name], capacity_gal=capacity_gal)

    if row["gross"] is not None:
        return gauging.gauge_by_package(
            gross_lb=weight("gross"), tare_lb=weight("tare"), proof=proof, step=step
        )
    if row["net"] is not None:
        return gauging.gauge_by_weight(net_lb=weight("net"), proof=proof, step=step)
    if row["volume"] is not None:
        return gauging.gauge_by_volume(volume_gal=row["volume"], proof=proof, step=step)
    return None


def _gauges(
    rows: Sequence[dict[str, Any]],
    *,
    sheets: dict[str, Barrel],
    proof: Decimal,
    step: str,
    wine: int,
    each: Decimal | None,
) -> list[Gauge]:
    """Each barrel's gauge; those not weighed share what is left of *wine*, or hold *each*."""
    own = [_own_gauge(row, proof, step, sheets[row["barrel"].code].rated_gal) for row in rows]
    alike = own.count(None)
    if alike and each is None:
        left = wine - sum(gallons(gauge)[0] for gauge in own if gauge)
        each = gauging.half_up(to_decimal(max(0, left)) / alike, "0.01")
    if not alike:
        return [gauge for gauge in own if gauge]
    average = gauging.gauge_by_average(
        packages=1, wine_gallons_each=each or 0, proof=proof, step=step
    )
    return [gauge or average for gauge in own]


def fill(
    look: Look,
    rows: Sequence[dict[str, Any]],
    *,
    proof: Decimal,
    wine: int,
    each: Decimal | None = None,
    field: str = "barrels",
) -> tuple[Fill, ...]:
    """The barrels of *rows* (BarrelPart's cleaned fields) filled with spirits of *proof*.

    A barrel not weighed or metered gets the average content: *each* gallons at 60 °F if given,
    else an equal share of *wine*, hundredths of a gallon that left the tank (27 CFR 19.289(c)
    and (d)). Barrels of one rated capacity and wood are one lot (19.485). Raises BadFact.
    """
    vessels = [row["barrel"] for row in rows]
    refuse_full(look, vessels, field=field)
    wood, sheets = cooperage_of(look, vessels), sheets_of(vessels)
    try:
        gauges = _gauges(
            rows, sheets=sheets, proof=proof, step=gauge_step(look), wine=wine, each=each
        )
    except GaugingError as error:
        raise BadFact(str(error), field=field) from error
    lots: dict[tuple[Any, ...], str] = {}
    filled = []
    for vessel, gauge in zip(vessels, gauges, strict=True):
        sheet = sheets[vessel.code]
        kind = (sheet.rated_gal, sheet.cooperage, wood[vessel.code])
        if kind not in lots:
            lots[kind] = package_lot_code(look, day_of(look), taken=lots.values())
        ages_in = wood_for(sheet, wood[vessel.code])
        filled.append(Fill(vessel, lots[kind], gauge, wood[vessel.code], sheet.rated_gal, ages_in))
    return tuple(filled)


def filled_total(fills: Iterable[Fill]) -> tuple[int, int]:
    """Summed (wine gallons, proof gallons) in hundredths."""
    pairs = [gallons(one.gauge) for one in fills]
    return sum(wine for wine, _ in pairs), sum(proof for _, proof in pairs)


def fill_legs(
    fills: Iterable[Fill], *, origin: Place, account: str, purpose: str
) -> tuple[Leg, ...]:
    """One movement a barrel out of *origin* into *account*, with its entry proof and its wood."""
    return tuple(
        Leg(
            origin, Place(account, one.lot, one.vessel.code), purpose, 0, *gallons(one.gauge),
            proof=tenths(one.gauge.proof), cooperage=one.cooperage,
        )
        for one in fills
    )  # fmt: skip


def package_lots(fills: Iterable[Fill], like: NewLot, *, day: date) -> tuple[NewLot, ...]:
    """The new lots of *fills*: the facts of *like*, ageing in their wood from *day*.

    A designate is spirits in a tank, held for barrels (27 CFR 19.305); in them it is the thing.
    """
    woods = {one.lot: one.wood for one in fills}
    age, name = age_on(like, day), like.name.removesuffix(" designate")
    return tuple(
        replace(like, code=code, name=name, **in_wood(age, wood=wood, day=day))
        for code, wood in woods.items()
    )


def refilled(fills: Iterable[Fill]) -> list[Vessel]:
    """The barrels that held something before."""
    return [one.vessel for one in fills if one.cooperage == "used"]


def fill_slip(fills: Sequence[Fill]) -> Slip:
    """What went into each barrel and how it was found: once for like barrels, else for each."""
    readings = tuple(
        (one.vessel.code, f"{wg(gallons(one.gauge)[0])}, {pg(gallons(one.gauge)[1])}, {one.lot}")
        for one in fills
    )
    told: dict[tuple[str, ...], list[str]] = {}
    for one in fills:
        told.setdefault(one.gauge.steps, []).append(one.vessel.code)
    steps = tuple(
        step if len(told) == 1 else f"{', '.join(codes)}: {step}"
        for found, codes in told.items()
        for step in found
    )
    wine, proof = filled_total(fills)
    result = (("barrels", str(len(fills))), ("gallons", wg(wine)), ("proof gallons", pg(proof)))
    return Slip("Barrels", readings, steps, result)


def overfull_question(fills: Iterable[Fill]) -> tuple[Question, ...]:
    """A question when barrels are filled more than a tenth above their rated capacity."""
    codes = [
        one.vessel.code
        for one in fills
        if gallons(one.gauge)[0] > to_hundredths(one.rated_gal * ROOM)
    ]
    if not codes:
        return ()
    text = f"{', '.join(codes)}: more than a tenth above the rated capacity. Keep it?"
    return (Question("over-capacity", text),)
