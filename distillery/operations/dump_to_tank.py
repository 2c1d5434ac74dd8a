"""Dump barrels or tanks into a tank of the same account (27 CFR 19.590(b), 19.326, 19.328).

The way to a second cask: what stays in storage may be filled again, what goes to processing may
not come back (19.351(c)). Barrels kept in processing are dumped here too.
"""

from typing import Any

from distillery.ages import counted_on
from distillery.drawing import BULK, Draw, gain_question
from distillery.dumping import (
    DumpPart,
    alike_field,
    draws_of,
    helds_of,
    loss_line,
    with_alike,
)
from distillery.forms import CodeField, GaugeField, RecordForm, VesselField
from distillery.gauged_rows import GaugedRowsField
from distillery.kinds import band_field, class_of, distilled_at_field, family_field, type_field
from distillery.mingling import mingling_questions
from distillery.operations.base import Fields, Operation
from distillery.packages import day_of
from distillery.plans import pg, room_question, wg
from distillery.pouring import TOGETHER, Poured, pour
from ledger.accounts import ACCOUNTS
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.plan import Plan

KEPT_IN = ("storage", "processing")
WHY_GAUGED = "A loss is determined when a vessel is emptied"  # 27 CFR 19.462(a)


class DumpToTankForm(RecordForm):
    """What is dumped, how it was gauged, and the tank it goes into."""

    vessels = GaugedRowsField(DumpPart, required=False, label="Dumped")
    alike = alike_field()
    into = VesselField(*BULK, label="Into tank")
    gauge = GaugeField(required=False, label="One gauge of all that was dumped")
    family = family_field(required=False, label="Kind, if two kinds come together in processing")
    type_code = type_field()
    distilled_at = distilled_at_field()
    band = band_field()
    lot = CodeField(label="Code of the new lot, empty for the next number")

    def clean(self) -> dict[str, Any]:
        """Barrels of the range are rows like the others."""
        data = super().clean() or {}
        return data if self.errors else with_alike(data, self.premises)


class DumpToTank(Operation):
    """Nothing leaves its account but the loss; age stops when spirits leave the wood."""

    slug = "dump-to-tank"
    title = "Dump to a tank, same account"
    group = "Store"
    form = DumpToTankForm
    hazards = ("lifting", "barrels", "ethanol_vapour")
    kinds = ("barrel",)
    accounts = KEPT_IN
    vessel_field = "vessels-vessel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """A leg a vessel, its loss or gain, and the lot that stands in the tank afterwards."""
        helds = helds_of(fields["vessels"], look, *KEPT_IN)
        account = _account(helds)
        draws, slips = draws_of(fields, helds, look, why=WHY_GAUGED)
        into = _into(fields, helds, look)
        purpose = TOGETHER[account] if _is_mingled(helds, into) else "move"
        legs = [*into.legs]
        for one in draws:
            legs += [one.leg(into.place, purpose), *one.rest()]
        wine = sum(one.wine for one in draws)
        heels = [look.lot(leg.origin.lot) for leg in into.legs]
        asked = mingling_questions([*heels, *(held.lot for held in helds)], day_of(look))
        return Plan(
            tuple(legs), into.lots, slips=slips, lines=_told(draws, into, account, look),
            questions=(
                *gain_question(draws), *(asked if account == "storage" else ()),
                *room_question(fields["into"], wine + into.heel_wine, look),
            ),
        )  # fmt: skip


def _account(helds: list[Held]) -> str:
    accounts = {held.account for held in helds}
    if len(accounts) > 1:
        raise BadFact("Storage and processing are dumped by records of their own.", field="vessels")
    return accounts.pop()


def _into(fields: Fields, helds: list[Held], look: Look) -> Poured:
    account = helds[0].account
    if any(held.vessel == fields["into"] for held in helds):
        raise BadFact("A vessel cannot be dumped into itself.", field="into")
    return pour(
        look, vessel=fields["into"], account=account, sources=[held.lot for held in helds],
        code=fields["lot"] or ("M-{n}" if account == "storage" else "B-{n}"),
        stage=helds[0].lot.stage, field="into", class_code=class_of(fields),
        type_code=fields["type_code"],
    )  # fmt: skip


def _is_mingled(helds: list[Held], into: Poured) -> bool:
    return len({held.lot.code for held in helds}) > 1 or bool(into.legs)


def _told(draws: list[Draw], into: Poured, account: str, look: Look) -> tuple[str, ...]:
    wine, proof = sum(one.wine for one in draws), sum(one.proof for one in draws)
    lines = [f"{wg(wine)}, {pg(proof)} into {into.place.vessel}.", *loss_line(draws)]
    for lot in into.lots:
        if age := counted_on(lot, day_of(look)):
            lines.append(f"Age of the youngest: {age}; it stands still there (27 CFR 19.328).")
    stays = f"It stays in {ACCOUNTS[account].title} and may be filled again."
    return (*lines, stays)
