"""Mill grain into grist: a stock of its own, with what the mill lost (27 CFR 19.584(a), (b))."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from distillery.forms import CodeField, QuantityField, RecordForm, RowsField, TextField, VesselField
from distillery.material_draws import DrawPart, draw_legs, told
from distillery.operations.base import Fields, Operation
from ledger.errors import BadFact
from ledger.plan import Leg, NewLot, Place, Plan, Question
from ledger.quantities import amount_from_book, to_hundredths

MUCH = 20  # more than a twentieth of the grain gone is asked about, our own figure


class MillForm(RecordForm):
    """Grain in, grist out, and how the mill was set."""

    grains = RowsField(DrawPart, label="Grain milled")
    into = VesselField("bin", "tank", "tote", label="Grist into")
    grist = QuantityField(
        "weight", required=False, above=1, label="Grist weighed, empty if nothing was lost"
    )
    mill = TextField(max_length=60, label="Mill")
    gap = TextField(max_length=60, label="Roller gap or screen")
    sieve = TextField(max_length=120, label="Sieve check")
    swept_by = TextField(max_length=120, label="Dust swept up by")
    lot = CodeField(label="Our grist code, empty for the next number")


class Mill(Operation):
    """Several grain lots become one grist lot; dust and hold-up are a weighed difference."""

    slug = "mill"
    title = "Mill grain"
    group = "Materials and mash"
    form = MillForm
    hazards = ("mill", "grain_dust")
    kinds = ("bin",)
    accounts = ("materials",)
    vessel_field = "grains-vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """All pounds go to the grist; what was not weighed again goes to residue."""
        rows, code = fields["grains"], fields["lot"] or "G-{n}"
        lot = _grist(rows, code)
        to = Place("materials", code, fields["into"].code)
        drawn = draw_legs(look, rows, into=code, purpose="mill", field="grains")
        grain = sum(leg.amount for leg in drawn)
        grist = grain if fields["grist"] is None else to_hundredths(fields["grist"])
        legs = [replace(leg, to=to) for leg in drawn]
        if grist < grain:
            legs.append(Leg(to, Place("residue", code), "mill", grain - grist))
        elif grist > grain:
            legs.append(Leg(Place("gain", code), to, "count", grist - grain))
        lines = [f"{', '.join(told(row['lot'], row['amount']) for row in rows)}."]
        lines.append(f"{amount_from_book(grist, 'lb'):,f} lb of grist into {to.vessel}.")
        return Plan(
            tuple(legs), (lot,), lines=tuple(lines), questions=_odd(grain=grain, grist=grist)
        )


def _grist(rows: Sequence[dict[str, Any]], code: str) -> NewLot:
    """The grist counts as the kind most of it is; of one grain it stays that grain."""
    for row in rows:
        if row["lot"].unit != "lb":
            raise BadFact(f"Lot {row['lot'].code} is not counted in pounds.", field="grains")
    most = max(rows, key=lambda row: row["amount"])["lot"]
    names = ", ".join(dict.fromkeys(row["lot"].name for row in rows))
    products = {row["lot"].product for row in rows}
    return NewLot(
        code, "material", "lb", f"Grist: {names}"[:80], material=most.designation.material,
        producer=most.producer if len(rows) == 1 else "",
        product=products.pop() if len(products) == 1 else "",
    )  # fmt: skip


def _odd(*, grain: int, grist: int) -> tuple[Question, ...]:
    """Asks about grist that weighs more than its grain, or far less."""
    put_in, out = (f"{amount_from_book(value, 'lb'):,f} lb" for value in (grain, grist))
    if grist > grain:
        text = f"The grist weighs {out}, the grain {put_in}. Book the difference as found?"
        return (Question("more-grist", text),)
    if (grain - grist) * MUCH > grain:
        text = f"Of {put_in} of grain only {out} came out. A mill loses less; keep it?"
        return (Question("much-dust", text),)
    return ()
