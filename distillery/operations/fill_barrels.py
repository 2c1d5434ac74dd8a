"""Fill barrels from a tank (27 CFR 19.324, 19.289(c), 19.351(c), 19.485, 19.488, 19.618)."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.barrel_life import before_slip, gone_question
from distillery.barrels import (
    UNWEIGHED,
    BarrelPart,
    Fill,
    fill,
    fill_legs,
    fill_slip,
    filled_total,
    overfull_question,
    package_lots,
    refilled,
)
from distillery.drawing import more_question
from distillery.forms import GaugeField, QuantityField, RecordForm, RowsField, VesselField, YesField
from distillery.forms.barrels_field import BarrelsField
from distillery.operations.base import Fields, Operation
from distillery.packages import day_of
from distillery.plans import found_by_gauge, gallons, loss_or_gain, one_of, pg, place, slip
from distillery.pouring import facts_of
from distillery.standards import entry_questions
from ledger.classes import CLASSES
from ledger.errors import BadFact
from ledger.looking import Held
from ledger.plan import Leg, NewLot, Plan, Question
from ledger.quantities import to_decimal

TANKS = ("tank", "tote")
ACCOUNTS = ("storage", "processing")


class FillBarrelsForm(RecordForm):
    """The tank before and after, its proof, and the barrels."""

    vessel = VesselField(*TANKS, label="From tank")
    before = GaugeField(required=False, label="Gauge of the tank before")
    proof = QuantityField("proof", required=False, label="Proof at 60 °F, empty for the tank's")
    barrels = RowsField(BarrelPart, required=False, label="Barrels")
    alike = BarrelsField(required=False, label="Barrels filled alike, like B-101..B-112")
    each = QuantityField("volume", required=False, above=1, label="Gallons in each, if not weighed")
    empties = YesField(label="The tank is empty afterwards")
    after = GaugeField(required=False, label="Gauge of the tank after, if not empty")

    def clean(self) -> dict[str, Any]:
        """At least one barrel; those filled alike become rows that hold the average."""
        data = super().clean() or {}
        if not self.errors:
            data["barrels"] += [UNWEIGHED | {"barrel": one} for one in data["alike"]]
            if not data["barrels"]:
                raise ValidationError({"barrels": "Give at least one barrel."})
        return data


class FillBarrels(Operation):
    """A tank into barrels, by weight or by the average of like packages.

    What was mixed in processing stays in processing: its barrels can never be of storage.
    """

    slug = "fill-barrels"
    title = "Fill barrels"
    group = "Store"
    form = FillBarrelsForm
    hazards = ("lifting", "barrels", "ethanol_vapour")
    kinds = TANKS
    accounts = ACCOUNTS
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """A leg a barrel with its entry proof and wood; what the tank then lacks is lost."""
        tank = fields["vessel"]
        held = one_of(look.in_account(tank.code, *ACCOUNTS), tank.code, field="vessel")
        fills = _fills(fields, held, look)
        legs = fill_legs(fills, origin=place(held), account=held.account, purpose="fill")
        first = found_by_gauge(held, fields["before"], "regauge") if fields["before"] else ()
        rest, more = _rest(fields, held, fills)
        lots = package_lots(fills, facts_of(held.lot), day=day_of(look))
        slips = [slip(fields[name], f"Tank {name}") for name in ("before", "after") if fields[name]]
        lost = -more if more < 0 else 0
        return Plan(
            (*first, *legs, *rest), lots, document="GR-{n}",
            slips=(*slips, fill_slip(fills), *before_slip(refilled(fills), look)),
            lines=_told(fills, lost, held.account),
            questions=(
                *class_questions(fills, lots[0]), *overfull_question(fills),
                *more_question({tank.code: more}), *gone_question(one.vessel for one in fills),
            ),
        )  # fmt: skip


def _start(fields: Fields, held: Held) -> tuple[int, int]:
    return (
        gallons(fields["before"]) if fields["before"] else (held.wine_gallons, held.proof_gallons)
    )


def _left(fields: Fields) -> tuple[int, int] | None:
    """What the tank holds afterwards, None when nobody looked."""
    if fields["empties"] and fields["after"]:
        raise BadFact("The tank is either empty or gauged afterwards, not both.", field="after")
    if fields["empties"]:
        return 0, 0
    return gallons(fields["after"]) if fields["after"] else None


def _fills(fields: Fields, held: Held, look: Any) -> tuple[Fill, ...]:
    """The barrels at the told proof, else the tank's by its gauge, else by the book."""
    wine, left = _start(fields, held)[0], _left(fields)
    is_open = any(
        row["gross"] is None and row["net"] is None and row["volume"] is None
        for row in fields["barrels"]
    )
    if is_open and fields["each"] is None and left is None:
        raise BadFact(
            "Weigh the barrels, give the gallons in each, or gauge the tank afterwards.",
            field="barrels",
        )
    proof = fields["proof"]
    if proof is None and fields["before"]:
        proof = fields["before"].proof
    if proof is None:
        proof = to_decimal((held.proof_tenths or 0) * 10)
    gone = wine - (left[0] if left else 0)
    return fill(look, fields["barrels"], proof=proof, wine=gone, each=fields["each"])


def _rest(fields: Fields, held: Held, fills: tuple[Fill, ...]) -> tuple[tuple[Leg, ...], int]:
    """The legs from what should be left to what is, and by how much the tank has more."""
    left = _left(fields)
    if left is None:
        return (), 0
    start, filled = _start(fields, held), filled_total(fills)
    wine = left[0] + filled[0] - start[0]
    proof = left[1] + filled[1] - start[1]
    return loss_or_gain(place(held), wine=wine, proof=proof, purpose="fill"), proof


def _told(fills: tuple[Fill, ...], lost: int, account: str) -> tuple[str, ...]:
    lots = dict.fromkeys(one.lot for one in fills)
    lines = [f"{len(fills)} barrels, {pg(filled_total(fills)[1])}, lot {', '.join(lots)}."]
    if lost:
        lines.append(f"Loss in filling {pg(lost)}.")
    if account == "processing":
        lines.append("Barrels of processing can never enter storage here (27 CFR 19.351(c)).")
    return tuple(lines)


def class_questions(fills: tuple[Fill, ...], lot: NewLot) -> tuple[Question, ...]:
    """What entry proof and wood take from the name of these spirits (27 CFR 5.143)."""
    if lot.class_code not in CLASSES:
        return ()
    highest = max(one.gauge.proof for one in fills)
    family = CLASSES[lot.class_code].family
    return entry_questions(family, lot.type_code, highest, [one.wood for one in fills])
