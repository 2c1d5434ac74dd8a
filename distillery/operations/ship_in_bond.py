"""Ship spirits in bond to another plant (27 CFR 19.403, 19.405, 19.620)."""

from typing import Any

from distillery.drawing import BULK, Draw, draw, gain_question
from distillery.forms import RecordForm, TextField, VesselField, YesField
from distillery.gauged_rows import GaugedPart, GaugedRowsField, gauge_of
from distillery.operations.base import Fields, Operation
from distillery.packages import gauge_step
from distillery.plans import one_of, pg, slip
from ledger.accounts import ACCOUNTS
from ledger.errors import BadFact
from ledger.gauging import Gauge
from ledger.looking import Held
from ledger.models import Vessel
from ledger.plan import Place, Plan

FROM_ACCOUNTS = ("storage", "processing", "production")


class ShipPart(GaugedPart):
    """One vessel shipped from: whole unless only a part went; sealed barrels need no gauge."""

    field_order = ("vessel", "part")
    vessel = VesselField(*BULK, "barrel", label="Vessel")
    part = YesField(label="Only a part was shipped")


class ShipInBondForm(RecordForm):
    """To whom, under which papers, and what."""

    consignee = TextField(required=True, label="Consignee")
    registry = TextField(required=True, max_length=20, label="Consignee's plant number")
    application = TextField(max_length=40, label="Their TTB F 5100.16, serial")
    vessels = GaugedRowsField(ShipPart, label="Shipped")
    sealed = YesField(label="Packages are sealed, or the conveyance is secured")
    seals = TextField(label="Seals or locks")
    conveyance = TextField(label="Conveyance")


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
        """A leg a vessel; what an emptied tank lacks is lost in the account it left."""
        pairs = _draws(fields, look)
        draws = [one for one, _ in pairs]
        legs = []
        for one in draws:
            to = Place("other_plant", one.held.lot.code)
            legs += [one.leg(to, "ship"), *one.rest()]
        proof = sum(one.proof for one in draws)
        first = f"{pg(proof)} to {fields['consignee']} ({fields['registry']})."
        return Plan(
            tuple(legs), document="TR-{n}",
            slips=tuple(slip(gauge, one.held.vessel.code) for one, gauge in pairs if gauge),
            lines=(first, *(_told(one) for one in draws)), questions=gain_question(draws),
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
    """Only whole packages under seal go without a gauge (27 CFR 19.405)."""
    code = held.vessel.code
    if held.vessel.kind != Vessel.Kind.BARREL:
        raise BadFact(f"Bulk spirits are gauged when shipped: gauge {code}.", field="vessels")
    if row["part"]:
        raise BadFact(f"Gauge the part that was drawn from {code}.", field="vessels")
    if not fields["sealed"]:
        raise BadFact(
            f"Weigh {code}, or tell that packages are sealed or the conveyance is secured.",
            field="sealed",
        )


def _told(one: Draw) -> str:
    """What the transfer record says of one vessel: account, lot, proof, date of fill."""
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
    return f"{', '.join(words)}."
