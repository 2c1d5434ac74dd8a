"""Fill barrels from a storage tank (27 CFR 19.324, 19.289(c), 19.485, 19.618)."""

from typing import Any

from distillery.barrels import (
    BarrelPart,
    Fill,
    fill,
    fill_legs,
    fill_slip,
    filled_total,
    overfull_question,
    package_lots,
)
from distillery.drawing import more_question
from distillery.forms import GaugeField, QuantityField, RecordForm, RowsField, VesselField, YesField
from distillery.operations.base import Fields, Operation
from distillery.packages import day_of
from distillery.plans import found_by_gauge, gallons, loss_or_gain, one_of, pg, place, slip
from distillery.pouring import facts_of
from ledger.errors import BadFact
from ledger.looking import Held
from ledger.plan import Leg, NewLot, Plan, Question
from ledger.quantities import to_decimal

TANKS = ("tank", "tote")
# Types that may enter charred new oak at 125 proof at most (27 CFR 5.143(b)).
BOUND_TYPES = frozenset({"bourbon", "rye", "wheat", "malt", "corn", "straight"})
ENTRY_PROOF = 1250


class FillBarrelsForm(RecordForm):
    """The tank before and after, its proof, and the barrels."""

    vessel = VesselField(*TANKS, label="From tank")
    before = GaugeField(required=False, label="Gauge of the tank before")
    proof = QuantityField("proof", required=False, label="Proof at 60 °F, empty for the tank's")
    barrels = RowsField(BarrelPart, label="Barrels")
    each = QuantityField("volume", required=False, above=1, label="Gallons in each, if not weighed")
    empties = YesField(label="The tank is empty afterwards")
    after = GaugeField(required=False, label="Gauge of the tank after, if not empty")


class FillBarrels(Operation):
    """Storage tank into barrels, by weight or by the average of like packages."""

    slug = "fill-barrels"
    title = "Fill barrels"
    group = "Store"
    form = FillBarrelsForm
    hazards = ("lifting", "barrels", "ethanol_vapour")
    kinds = TANKS
    accounts = ("storage",)
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """A leg a barrel with its entry proof and wood; what the tank then lacks is lost."""
        tank = fields["vessel"]
        held = one_of(look.in_account(tank.code, "storage"), tank.code, field="vessel")
        fills = _fills(fields, held, look)
        legs = fill_legs(fills, origin=place(held), account="storage", purpose="fill")
        first = found_by_gauge(held, fields["before"], "regauge") if fields["before"] else ()
        rest, more = _rest(fields, held, fills)
        lots = package_lots(fills, facts_of(held.lot), day=day_of(look))
        slips = [slip(fields[name], f"Tank {name}") for name in ("before", "after") if fields[name]]
        lost = -more if more < 0 else 0
        return Plan(
            (*first, *legs, *rest), lots, document="GR-{n}", slips=(*slips, fill_slip(fills)),
            lines=_told(fills, lost),
            questions=(
                *_entry_proof(legs, lots), *overfull_question(fills),
                *more_question({tank.code: more}),
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


def _told(fills: tuple[Fill, ...], lost: int) -> tuple[str, ...]:
    lots = dict.fromkeys(one.lot for one in fills)
    line = f"{len(fills)} barrels, {pg(filled_total(fills)[1])}, lot {', '.join(lots)}."
    return (line, f"Loss in filling {pg(lost)}.") if lost else (line,)


def _entry_proof(legs: tuple[Leg, ...], lots: tuple[NewLot, ...]) -> tuple[Question, ...]:
    """Whisky of a type that is bound to 125 proof, filled above it (27 CFR 5.143(b))."""
    words = set(lots[0].type_code.lower().replace("-", " ").split())
    highest = max(leg.proof or 0 for leg in legs)
    is_whisky = lots[0].class_code.startswith("whisky")
    if not (is_whisky and words & BOUND_TYPES and highest > ENTRY_PROOF):
        return ()
    text = (
        f"{to_decimal(highest * 10):.1f} proof is above the 125 at which {lots[0].type_code} "
        "enters oak (27 CFR 5.143(b)); the type is lost by it. Is that meant?"
    )
    return (Question("entry-proof-over-125", text),)
