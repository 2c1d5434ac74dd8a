"""Change spirits from one package to another (27 CFR 19.325, 19.590(b))."""

from dataclasses import dataclass
from typing import Any

from distillery.ages import age_on, in_wood
from distillery.barrel_life import before_slip, gone_question
from distillery.barrels import refuse_full
from distillery.drawing import Draw, gain_question
from distillery.forms import RecordForm, VesselField, YesField
from distillery.gauged_rows import GaugedPart, GaugedRowsField, gauge_of
from distillery.models import Barrel
from distillery.operations.base import Fields, Operation
from distillery.packages import (
    cooperage_of,
    day_of,
    gauge_step,
    package_lot_code,
    sheets_of,
    wood_for,
)
from distillery.plans import gallons, lot_like, one_of, pg, slip, tenths, wg
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.plan import NewLot, Place, Plan, Slip

ACCOUNTS = ("storage", "processing")


class ChangedPart(GaugedPart):
    """One new package: the old one it was filled from, and its own gauge."""

    field_order = ("old", "vessel", "part")
    old = VesselField("barrel", label="Old barrel")
    vessel = VesselField("barrel", label="New barrel")
    part = YesField(label="The rest stays in the old barrel")


class PackageToPackageForm(RecordForm):
    """What went from which barrel into which."""

    packages = GaugedRowsField(ChangedPart, label="Barrels")


@dataclass(frozen=True, slots=True)
class Changed:
    """One new package with its part of the old one."""

    draw: Draw
    to: Place
    cooperage: str


class PackageToPackage(Operation):
    """Each new package holds spirits of one old package only; an old one may fill several."""

    slug = "package-to-package"
    title = "Change barrels"
    group = "Store"
    form = PackageToPackageForm
    hazards = ("lifting", "barrels", "ethanol_vapour")
    kinds = ("barrel",)
    accounts = ACCOUNTS
    vessel_field = "packages-old"
    is_rare = True

    def plan(self, fields: Fields, look: Look) -> Plan:
        """A leg a new package; an old one that is empty then loses what the book has more."""
        rows = fields["packages"]
        _refuse_twice(rows)
        vessels = [row["vessel"] for row in rows]
        refuse_full(look, vessels, field="packages")
        draws, slips = _draws(rows, look)
        changed, lots = _changed(rows, draws, look)
        legs = [one.draw.leg(one.to, "fill", cooperage=one.cooperage) for one in changed]
        wholes = _wholes(rows, draws)
        for whole in wholes:
            legs += whole.rest()
        wine, proof = sum(one.wine for one in draws), sum(one.proof for one in draws)
        return Plan(
            tuple(legs), lots, document="GR-{n}",
            slips=(*slips, *before_slip(vessels, look)),
            lines=(f"{wg(wine)}, {pg(proof)} into {len(vessels)} barrels.",),
            questions=(*gain_question(wholes), *gone_question(vessels)),
        )  # fmt: skip


def _refuse_twice(rows: list[dict[str, Any]]) -> None:
    new = [row["vessel"].code for row in rows]
    twice = next((code for code in new if new.count(code) > 1), "")
    if twice:
        raise BadFact(
            f"{twice} stands here twice. A new package holds spirits of one old package only "
            "(27 CFR 19.325).",
            field="packages",
        )


def _draws(rows: list[dict[str, Any]], look: Look) -> tuple[list[Draw], list[Slip]]:
    """What each new package got: its gauge, or all of the old one by the book."""
    draws, slips = [], []
    olds = [row["old"].code for row in rows]
    look(*olds)
    for row in rows:
        code = row["old"].code
        held = one_of(look.in_account(code, *ACCOUNTS), code, field="packages")
        gauge = gauge_of(row, step=gauge_step(look))
        if gauge is None:
            if row["part"] or olds.count(code) > 1:
                raise BadFact(f"Weigh {row['vessel'].code}, a part of {code}.", field="packages")
            draws.append(Draw(held, held.wine_gallons, held.proof_gallons, held.proof_tenths))
            continue
        draws.append(Draw(held, *gallons(gauge), tenths(gauge.proof)))
        slips.append(slip(gauge, row["vessel"].code))
    return draws, slips


def _changed(
    rows: list[dict[str, Any]], draws: list[Draw], look: Look
) -> tuple[list[Changed], tuple[NewLot, ...]]:
    """Where each goes: one lot for what is of one old lot and in like new packages (19.485)."""
    vessels = [row["vessel"] for row in rows]
    woods, sheets, day = cooperage_of(look, vessels), sheets_of(vessels), day_of(look)
    lots: dict[tuple[Any, ...], NewLot] = {}
    changed = []
    for vessel, one in zip(vessels, draws, strict=True):
        sheet, cooperage = sheets[vessel.code], woods[vessel.code]
        kind = (one.held.lot.code, *_kind(sheet, cooperage))
        if kind not in lots:
            code = package_lot_code(look, day, taken=[lot.code for lot in lots.values()])
            age = age_on(one.held.lot, day)
            wood = wood_for(sheet, cooperage)
            lots[kind] = lot_like(one.held.lot, code, **in_wood(age, wood=wood, day=day))
        to = Place(one.held.account, lots[kind].code, vessel.code)
        changed.append(Changed(one, to, cooperage))
    return changed, tuple(lots.values())


def _kind(sheet: Barrel, cooperage: str) -> tuple[Any, ...]:
    return sheet.rated_gal, sheet.cooperage, cooperage


def _wholes(rows: list[dict[str, Any]], draws: list[Draw]) -> list[Draw]:
    """Each old package that is empty afterwards, with all that was drawn of it."""
    stays = {row["old"].code for row in rows if row["part"]}
    helds: dict[str, Held] = {one.held.vessel.code: one.held for one in draws}
    return [
        Draw(
            held,
            sum(one.wine for one in draws if one.held is held),
            sum(one.proof for one in draws if one.held is held),
            is_whole=True,
        )
        for code, held in helds.items()
        if code not in stays
    ]
