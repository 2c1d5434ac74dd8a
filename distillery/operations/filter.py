"""Filter a batch in processing (27 CFR 19.283, 19.598, 5.142(b)(1), 5.193(c))."""

from decimal import Decimal
from typing import Any

from distillery.drawing import more_question
from distillery.forms import GaugeField, QuantityField, RecordForm, TextField, VesselField
from distillery.identity import Made
from distillery.identity.formulas import filtering_section
from distillery.identity.standards import may_say_charcoal_filtered
from distillery.operations.base import Fields, Operation
from distillery.operations.blend import TANKS
from distillery.plans import found_by_gauge, gallons, one_of, pg, place, room_question, slip, tenths
from distillery.pouring import heel_in
from ledger.errors import BadFact
from ledger.looking import Held
from ledger.plan import Leg, Place, Plan, Question
from ledger.quantities import to_decimal


class FilterForm(RecordForm):
    """What was filtered through what, and the gauge afterwards."""

    vessel = VesselField(*TANKS, label="From")
    to = VesselField(*TANKS, required=False, label="Into, empty for the same tank")
    gauge = GaugeField(label="Gauge after filtering")
    medium = TextField(label="Filtered through, like 5 µm pads at 20 °F")
    charcoal = QuantityField("weight", required=False, above=1, label="Charcoal, like 4 oz")
    removed_pct = QuantityField(
        "percent", required=False, label="Acids, esters and solids taken out, %, if measured"
    )
    color_removed_pct = QuantityField(
        "percent", required=False, label="Soluble color taken out, %, if measured"
    )
    formula = TextField(max_length=40, label="Formula number")


class Filter(Operation):
    """The whole batch through a filter; what stays in it is a loss of processing."""

    slug = "filter"
    title = "Filter"
    group = "Process and bottle"
    form = FilterForm
    hazards = ("pressure_filter", "ethanol_vapour")
    kinds = TANKS
    accounts = ("processing",)
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """The difference to the gauge, and the same lot in its new tank if it changed."""
        vessel, gauge = fields["vessel"], fields["gauge"]
        to = fields["to"] or vessel
        held = one_of(look.in_account(vessel.code, "processing"), vessel.code, field="vessel")
        wine, proof = gallons(gauge)
        legs = found_by_gauge(held, gauge, "filter")
        if to != vessel:
            if heel_in(look, to, "processing", field="to"):
                raise BadFact(f"{to.code} is not empty by the book. Choose another.", field="to")
            there = Leg(
                place(held), Place("processing", held.lot.code, to.code), "move", 0, wine, proof,
                proof=tenths(gauge.proof),
            )  # fmt: skip
            legs = (*legs, there)
        less = held.proof_gallons - proof
        told = f"{pg(less)} stayed in the filter." if less > 0 else "No loss by the gauge."
        return Plan(
            legs, slips=(slip(gauge, "Gauge after filtering"),),
            lines=(told, *charcoal_line(held, fields["charcoal"])),
            questions=(
                *more_question({vessel.code: -less}), *room_question(to, wine, look),
                *stripping_question(held, fields),
            ),
        )  # fmt: skip


def charcoal_line(held: Held, pounds: Decimal | None) -> tuple[str, ...]:
    """The charcoal in ounces for 100 wine gallons, and what vodka may say of it (5.142(b)(1))."""
    if not pounds or not held.wine_gallons:
        return ()
    ounces = pounds * 16 * 100 / to_decimal(held.wine_gallons)
    may = may_say_charcoal_filtered(Made(charcoal_oz_per_100_gal=ounces))
    says = "may say charcoal filtered" if may else "may not say charcoal filtered, from 1 ounce on"
    return (f"Charcoal {ounces:.2f} oz to 100 gallons: vodka {says} (27 CFR 5.142(b)(1)).",)


def stripping_question(held: Held, fields: Fields) -> tuple[Question, ...]:
    """Asks for a formula when straight whisky is stripped of more than 5.193(c) lets go."""
    if "straight" not in held.lot.designation.type_code.lower().split():
        return ()
    section = filtering_section(
        removed_pct=fields["removed_pct"] or Decimal(0),
        color_removed_pct=fields["color_removed_pct"] or Decimal(0),
    )
    if not section or fields["formula"] or held.lot.formula:
        return ()
    text = (
        f"Straight whisky stripped of over 15 % of its acids, esters and solids, or 25 % of its "
        f"color, needs an approved formula ({section}), and none is named. Keep it?"
    )
    return (Question("formula-needed", text),)
