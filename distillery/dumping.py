"""What leaves barrels and tanks when they are dumped: each gauged, or one gauge of all."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.drawing import BULK, Draw, allocate, draw
from distillery.forms import VesselField, YesField
from distillery.forms.barrels_field import BarrelsField
from distillery.gauged_rows import GaugedPart, gauge_of
from distillery.packages import gauge_step
from distillery.plans import gallons, one_of, pg, slip, tenths
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Premises, Vessel
from ledger.plan import Slip


class DumpPart(GaugedPart):
    """One vessel dumped: whole unless only a part was drawn; gauged here or all together."""

    field_order = ("vessel", "part")
    vessel = VesselField(*BULK, "barrel", label="Vessel")
    part = YesField(label="Only a part was drawn")


def alike_field() -> BarrelsField:
    """Whole barrels named by a range, under the one gauge of all."""
    return BarrelsField(required=False, label="Or whole barrels together, like B-101..B-112")


def with_alike(data: dict[str, Any], premises: Premises) -> dict[str, Any]:
    """Cleaned *data* with a row for each barrel of its range. Raises ValidationError for none."""
    for vessel in data["alike"]:
        row = DumpPart({}, premises=premises)
        data["vessels"].append({"vessel": vessel, "part": False, "gauged": row})
    if not data["vessels"]:
        raise ValidationError({"vessels": "Give at least one barrel or tank."})
    return data


def helds_of(rows: list[dict[str, Any]], look: Look, *accounts: str) -> list[Held]:
    """What stands in the vessels of *rows*. Raises BadFact for a vessel named twice, or empty."""
    codes = [row["vessel"].code for row in rows]
    if len(set(codes)) != len(codes):
        raise BadFact("A vessel stands here twice. Give each one row.", field="vessels")
    look(*codes)
    return [one_of(look.in_account(code, *accounts), code, field="vessels") for code in codes]


def draws_of(
    fields: dict[str, Any], helds: list[Held], look: Look, *, why: str
) -> tuple[list[Draw], tuple[Slip, ...]]:
    """What was drawn from each of *helds*, by ``fields["vessels"]`` or ``fields["gauge"]``.

    One gauge of all is shared by what the book has. *why* begins the sentence of the BadFact
    that refuses a vessel without a gauge.
    """
    if fields["gauge"] is None:
        return _by_row(fields, helds, look, why)
    if any(row["part"] or row["gauged"].is_gauged for row in fields["vessels"]):
        raise BadFact(
            "One gauge of all stands for whole vessels. Leave it out where each is gauged.",
            field="gauge",
        )
    wine, proof = gallons(fields["gauge"])
    wines = allocate(wine, [held.wine_gallons for held in helds])
    proofs = allocate(proof, [held.proof_gallons for held in helds])
    strength = tenths(fields["gauge"].proof)
    draws = [
        Draw(held, wine, proof, strength, is_whole=True)
        for held, wine, proof in zip(helds, wines, proofs, strict=True)
    ]
    return draws, (slip(fields["gauge"], "Gauge of all"),)


def _by_row(
    fields: dict[str, Any], helds: list[Held], look: Look, why: str
) -> tuple[list[Draw], tuple[Slip, ...]]:
    draws, slips = [], []
    for row, held in zip(fields["vessels"], helds, strict=True):
        is_barrel = held.vessel.kind == Vessel.Kind.BARREL
        gauge = gauge_of(row, step=gauge_step(look) if is_barrel else "0.01")
        if gauge is None:
            raise BadFact(
                f"{why}: gauge {held.vessel.code}, or give one gauge of all.", field="vessels"
            )
        draws.append(draw(held, gauge=gauge, is_whole=not row["part"], field="vessels"))
        slips.append(slip(gauge, held.vessel.code))
    return draws, tuple(slips)


def loss_line(draws: list[Draw]) -> tuple[str, ...]:
    """What whole vessels lost since they were filled; nothing to say of a gain."""
    book = sum(one.held.proof_gallons for one in draws if one.is_whole)
    lost = book - sum(one.proof for one in draws if one.is_whole)
    if lost <= 0:
        return ()
    return (f"Loss since fill {pg(lost)} of {pg(book)}, {lost * 100 / book:.1f} %.",)
