"""Ship spirits in bond to another plant: the consignor's half of the transfer record.

27 CFR 19.403, 19.405, 19.620.
"""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.ages import counted_on
from distillery.bottled import carried
from distillery.bottled_rows import BottlesPart, bottles_by_place, told_count
from distillery.drawing import BULK, Draw, draw, gain_question
from distillery.forms import ChoiceField, DayField, RowsField, TextField, VesselField, YesField
from distillery.gauged_rows import GaugedPart, GaugedRowsField, gauge_of
from distillery.leaving import barrels_along
from distillery.operations.base import Fields, Operation
from distillery.packages import day_of, gauge_step
from distillery.plans import one_of, pg, place, slip
from distillery.signing import SignedForm, signed_line
from ledger.accounts import ACCOUNTS
from ledger.errors import BadFact
from ledger.gauging import Gauge
from ledger.looking import Held
from ledger.models import Vessel
from ledger.plan import Leg, Place, Plan

FROM_ACCOUNTS = ("storage", "processing", "production")
CONTAINERS = [
    ("", "as the rows say"), ("packages", "packages"), ("cases", "cases"),
    ("conveyance", "bulk conveyance"), ("portable", "totes or other portable containers"),
    ("P/L", "P/L, by pipeline"),
]  # fmt: skip


class ShipPart(GaugedPart):
    """One vessel shipped from: whole unless only a part went; sealed barrels need no gauge."""

    field_order = ("vessel", "part", "serial", "produced")
    vessel = VesselField(*BULK, "barrel", label="Vessel")
    part = YesField(label="Only a part was shipped")
    serial = TextField(max_length=40, label="Temporary serial, if weighed")
    produced = TextField(max_length=20, label="Year of production")


class ShipInBondForm(SignedForm):
    """To whom, under which papers, what, how it was secured, and who signs."""

    consignee = TextField(required=True, label="Consignee")
    registry = TextField(required=True, max_length=20, label="Consignee's plant number")
    consignee_address = TextField(label="Consignee's address")
    application = TextField(max_length=40, label="Their TTB F 5100.16, serial")
    application_date = DayField(label="Its date")
    vessels = GaugedRowsField(ShipPart, required=False, label="Shipped")
    rows = RowsField(BottlesPart, required=False, label="Cases shipped")
    container = ChoiceField(choices=CONTAINERS, required=False, label="Type of container")
    sealed = YesField(label="Packages are sealed, or the conveyance is secured")
    waiver = TextField(label="TTB's waiver of weighing, if there is one")
    seals = TextField(label="Seals or locks")
    conveyance = TextField(label="Conveyance")
    rate_elements = TextField(
        max_length=400, label="Elements of an effective tax rate, if it holds wine or flavors"
    )

    def clean(self) -> dict[str, Any]:
        """Something was shipped."""
        data = super().clean()
        if not self.errors and not data["vessels"] and not data["rows"]:
            raise ValidationError({"vessels": "Give what was shipped: vessels or cases."})
        return data


class ShipInBond(Operation):
    """Out of its account in bond: bulk at its gauge, sealed barrels at what was filled."""

    slug = "ship-in-bond"
    title = "Ship in bond"
    group = "Store"
    form = ShipInBondForm
    hazards = ("lifting", "ethanol_vapour")
    kinds = (*BULK, "barrel")
    accounts = FROM_ACCOUNTS
    vessel_field = "vessels-vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """A leg a vessel or lot; what an emptied tank lacks is lost in the account it left."""
        pairs = _draws(fields, look)
        draws = [one for one, _ in pairs]
        legs: list[Leg] = []
        for one in draws:
            to = Place("other_plant", one.held.lot.code)
            legs += [one.leg(to, "ship"), *one.rest()]
        cased, told = _cases(fields, look)
        legs += cased
        proof = sum(leg.proof_gallons for leg in legs if leg.purpose == "ship")
        first = f"{pg(proof)} to {fields['consignee']} ({fields['registry']})."
        rows = zip(fields["vessels"], draws, strict=True)
        return Plan(
            tuple(legs), document="TR-{n}",
            slips=tuple(slip(gauge, one.held.vessel.code) for one, gauge in pairs if gauge),
            lines=(
                first, *(_told(one, row, look) for row, one in rows), *told,
                *barrels_along(draws), *_papers(fields),
                signed_line(fields, "27 CFR 19.620"),
            ),
            questions=gain_question(draws),
        )  # fmt: skip


def _draws(fields: Fields, look: Any) -> list[tuple[Draw, Gauge | None]]:
    codes = [row["vessel"].code for row in fields["vessels"]]
    if len(set(codes)) != len(codes):
        raise BadFact("A vessel stands here twice. Give each one row.", field="vessels")
    look(*codes)
    found = []
    for row in fields["vessels"]:
        code = row["vessel"].code
        held = one_of(look.in_account(code, *FROM_ACCOUNTS), code, field="vessels")
        is_package = held.vessel.kind == Vessel.Kind.BARREL
        gauge = gauge_of(row, step=gauge_step(look) if is_package else "0.01")
        if gauge is None:
            _refuse_ungauged(fields, row, held)
        found.append((draw(held, gauge=gauge, is_whole=not row["part"], field="vessels"), gauge))
    return found


def _refuse_ungauged(fields: Fields, row: dict[str, Any], held: Held) -> None:
    """Only whole packages under seal, or by waiver, go without a gauge (27 CFR 19.405)."""
    code = held.vessel.code
    if held.vessel.kind != Vessel.Kind.BARREL:
        raise BadFact(f"Bulk spirits are gauged when shipped: gauge {code}.", field="vessels")
    if row["part"]:
        raise BadFact(f"Gauge the part that was drawn from {code}.", field="vessels")
    if not (fields["sealed"] or fields["waiver"]):
        raise BadFact(
            f"Weigh {code}, or tell that packages are sealed, the conveyance is secured, or TTB "
            "waived the weighing (27 CFR 19.405).",
            field="sealed",
        )


def _cases(fields: Fields, look: Any) -> tuple[list[Leg], list[str]]:
    """Cases at what they carry, by their labels (27 CFR 19.286), and a line for each lot."""
    legs, lines = [], []
    for held, bottles in bottles_by_place(fields["rows"], look):
        wine, proof = carried(held, bottles)
        to = Place("other_plant", held.lot.code)
        legs.append(Leg(place(held), to, "ship", bottles, wine, proof))
        lines.append(
            f"{told_count(held.lot, bottles)} of {held.lot.name}, lot {held.lot.code}, from "
            f"{ACCOUNTS['finished'].title}: {pg(proof)}."
        )
    return legs, lines


def _told(one: Draw, row: dict[str, Any], look: Any) -> str:
    """What the transfer record says of one vessel: account, lot, proof, age, date of fill."""
    lot, strength = one.held.lot, one.strength
    words = [
        f"{one.held.vessel.code}: {pg(one.proof)}",
        f"lot {lot.code}, {lot.name}",
        f"from {ACCOUNTS[one.held.account].title}",
    ]
    if strength is not None:
        words.append(f"{strength / 10:.1f} proof")
    if lot.aged_from:
        words.append(f"filled {lot.aged_from:%d %b %Y}")
    if age := counted_on(lot, day_of(look)):
        words.append(f"aged {age}")
    if row["produced"]:
        words.append(f"produced {row['produced']}")
    if lot.producer:
        words.append(f"by {lot.producer}")
    return f"{', '.join(words)}."


def _papers(fields: Fields) -> list[str]:
    """What is still to be put on the transfer record (27 CFR 19.403, 19.405, 19.620)."""
    lines = []
    if not fields["application"]:
        lines.append("No TTB F 5100.16 of the receiver is named (27 CFR 19.403, 19.620).")
    if not fields["conveyance"] and fields["container"] != "P/L":
        lines.append("The conveyance is not named (27 CFR 19.620).")
    if fields["rate_elements"]:
        lines.append(f"For the effective tax rate: {fields['rate_elements']}.")
    return lines
