"""Voluntary destruction of spirits, bulk or bottled (27 CFR 19.459, 19.617)."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottled import carried
from distillery.bottled_rows import BottlesPart, bottles_by_place, told_count
from distillery.drawing import BULK, Draw, draw, gain_question
from distillery.forms import RecordForm, RowsField, TextField, VesselField, YesField
from distillery.gauged_rows import GaugedPart, GaugedRowsField, gauge_of
from distillery.operations.base import Fields, Operation
from distillery.packages import gauge_step
from distillery.plans import one_of, pg, place, slip
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Lot, Vessel
from ledger.plan import Leg, Place, Plan, Question, Slip

ACCOUNTS = ("production", "redistil", "storage", "processing")


class DestroyPart(GaugedPart):
    """One vessel whose spirits are destroyed: whole unless only a part was, gauged first."""

    field_order = ("vessel", "part")
    vessel = VesselField(*BULK, "barrel", "still", label="Vessel")
    part = YesField(label="Only a part of it")


class DestroyForm(RecordForm):
    """What, where, how and by whom: the record of destruction (27 CFR 19.617)."""

    vessels = GaugedRowsField(DestroyPart, required=False, label="Bulk destroyed")
    bottles = RowsField(BottlesPart, required=False, label="Bottles, counted one by one")
    place = TextField(required=True, label="Place")
    manner = TextField(required=True, label="Manner, like poured into the drain")
    person = TextField(required=True, max_length=120, label="Destroyed or supervised by")
    person_title = TextField(required=True, max_length=120, label="Title")
    was_withdrawn = YesField(label="Withdrawn from bond before, and returned")
    producer = TextField(
        max_length=120, label="Producer or processor and plant number, empty for ours or the lot's"
    )

    def clean(self) -> dict[str, Any]:
        """Something was destroyed."""
        data = super().clean() or {}
        if not self.errors and not (data["vessels"] or data["bottles"]):
            raise ValidationError({"vessels": "Give the vessels or the bottles destroyed."})
        return data


class Destroy(Operation):
    """Gauged, then destroyed; what an emptied vessel lacks by the gauge is lost beside it."""

    slug = "destroy"
    title = "Destroy spirits"
    group = "Remove"
    form = DestroyForm
    hazards = ("ethanol_vapour", "lifting", "glass")
    kinds = (*BULK, "barrel")
    accounts = ACCOUNTS
    vessel_field = "vessels-vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """A leg a vessel or lot to destroyed, free of tax."""
        draws, slips, ungauged = _draws(fields, look)
        legs: list[Leg] = []
        for one in draws:
            at = Place("destroyed", one.held.lot.code)
            legs += [one.leg(at, "destroy"), *one.rest()]
        lines = [f"{pg(one.proof)} of lot {one.held.lot.code} in {_in(one.held)}." for one in draws]
        for held, bottles in bottles_by_place(fields["bottles"], look):
            three = (bottles, *carried(held, bottles))
            legs.append(Leg(place(held), Place("destroyed", held.lot.code), "destroy", *three))
            told = told_count(held.lot, bottles)
            lines.append(f"{told} of {held.lot.name}, lot {held.lot.code}: {pg(three[2])}.")
        return Plan(
            tuple(legs), document="DR-{n}", slips=(*slips, _record(fields, legs, look)),
            lines=(*lines, f"Destroyed in all: {pg(_destroyed(legs))}."),
            questions=(*gain_question(draws), *_gauge_first(ungauged)),
        )  # fmt: skip


def _in(held: Held) -> str:
    kind = held.vessel.get_kind_display()
    return f"{held.vessel.code} ({kind})"


def _destroyed(legs: list[Leg]) -> int:
    return sum(leg.proof_gallons for leg in legs if leg.to.account == "destroyed")


def _draws(fields: Fields, look: Look) -> tuple[list[Draw], tuple[Slip, ...], list[str]]:
    """What each vessel gives, the slips of the gauges, and the vessels without one."""
    codes = [row["vessel"].code for row in fields["vessels"]]
    if len(set(codes)) != len(codes):
        raise BadFact("A vessel stands here twice. Give each one row.", field="vessels")
    draws: list[Draw] = []
    slips: list[Slip] = []
    ungauged: list[str] = []
    for row in fields["vessels"]:
        vessel = row["vessel"]
        held = one_of(look.in_account(vessel.code, *ACCOUNTS), vessel.code, field="vessels")
        is_barrel = vessel.kind == Vessel.Kind.BARREL
        gauge = gauge_of(row, step=gauge_step(look) if is_barrel else "0.01")
        if gauge is None and row["part"]:
            raise BadFact(f"Gauge the part of {vessel.code} destroyed.", field="vessels")
        draws.append(draw(held, gauge=gauge, is_whole=not row["part"], field="vessels"))
        if gauge is None:
            ungauged.append(vessel.code)
        else:
            slips.append(slip(gauge, vessel.code))
    return draws, tuple(slips), ungauged


def _gauge_first(ungauged: list[str]) -> tuple[Question, ...]:
    """Tax is due on what is destroyed against the rule (27 CFR 19.461(b)); asked, then kept."""
    if not ungauged:
        return ()
    text = (
        f"Spirits are gauged before they are destroyed (27 CFR 19.459), and tax is due on what is "
        f"not destroyed by the rule (19.461(b)): that is a loss on which tax is due. "
        f"{', '.join(ungauged)} was not gauged: keep it as destroyed, by the book's figures?"
    )
    return (Question("destroyed-ungauged", text),)


def _record(fields: Fields, legs: list[Leg], look: Look) -> Slip:
    """The record of destruction as its section lists it (27 CFR 19.617)."""
    readings: list[tuple[str, str]] = []
    for leg in legs:
        if leg.to.account == "destroyed":
            lot = look.lot(leg.origin.lot)
            readings.append((f"{lot.name}, lot {lot.code}", pg(leg.proof_gallons)))
            readings.append(("producer or processor", _producer(fields, lot, look)))
            readings.append(("container", _in_words(leg, look)))
    when = look.at.astimezone(look.premises.zone)
    readings += [
        ("date and time", f"{when:%Y-%m-%d %H:%M}"), ("place", fields["place"]),
        ("manner", fields["manner"]),
        ("withdrawn before and returned", "yes" if fields["was_withdrawn"] else "no"),
        ("destroyed or supervised by", f"{fields['person']}, {fields['person_title']}"),
    ]  # fmt: skip
    return Slip("Destruction", tuple(readings), (), (("destroyed", pg(_destroyed(legs))),))


def _in_words(leg: Leg, look: Look) -> str:
    vessel = look.vessel(leg.origin.vessel)
    return f"{vessel.code}, {vessel.get_kind_display()}"


def _producer(fields: Fields, lot: Lot, look: Look) -> str:
    ours = f"{look.premises.name} {look.premises.registry}"
    return str(fields["producer"] or lot.producer or ours)
