"""Gauge again what stands in barrels or tanks (27 CFR 19.283, 19.462(a), 19.619)."""

from dataclasses import dataclass, replace
from typing import Any

from distillery import barrel_life
from distillery.barrel_life import Kind, filled_with
from distillery.drawing import more_question
from distillery.forms import ChoiceField, RecordForm, TextField, VesselField
from distillery.gauged_rows import GaugedPart, GaugedRowsField, gauge_of
from distillery.models import Barrel
from distillery.operations.base import Fields, Operation
from distillery.packages import gauge_step
from distillery.plans import found_by_gauge, gallons, one_of, pg, slip, tenths, wg
from ledger.errors import BadFact
from ledger.gauging import Gauge
from ledger.looking import Held, Look
from ledger.models import Entry, Vessel
from ledger.plan import Leg, Plan, Slip

ACCOUNTS = ("storage", "processing")
WHY = [
    ("", "in the ordinary course"),
    ("accident", "after an accident"),
    ("unusual", "an unusual gauge"),
]


class RegaugePart(GaugedPart):
    """One barrel or tank gauged where it lies; a barrel's empty weight comes off the list."""

    field_order = ("vessel",)
    vessel = VesselField("barrel", "tank", "tote", label="Barrel or tank")

    def clean(self) -> dict[str, Any]:
        """A gross weight finds its tare on the plant's list."""
        vessel, data = self.cleaned_data.get("vessel"), self.cleaned_data
        if vessel and data.get("gross") is not None and data.get("tare") is None:
            sheet = Barrel.objects.filter(vessel=vessel).first()
            data["tare"] = sheet.tare_lb if sheet else None
        return super().clean()


class RegaugeForm(RecordForm):
    """What was gauged again, and why."""

    vessels = GaugedRowsField(RegaugePart, label="Gauged again")
    why = ChoiceField(choices=WHY, required=False, label="Why")
    explanation = TextField(max_length=400, label="What happened, after an accident")


@dataclass(frozen=True, slots=True)
class Found:
    """One vessel as it was gauged again, and what it was first filled with."""

    held: Held
    gauge: Gauge
    original: int | None

    @property
    def is_barrel(self) -> bool:
        """Whether its loss waits for the dump."""
        return self.held.vessel.kind == Vessel.Kind.BARREL


class Regauge(Operation):
    """A tank comes to its gauge; a barrel keeps its book until it is dumped.

    A loss is determined when a tank or package is emptied, at an accident or unusual gauge, and
    at inventory (27 CFR 19.462(a)).
    """

    slug = "regauge"
    title = "Regauge"
    group = "Store"
    form = RegaugeForm
    hazards = ("lifting", "barrels", "ethanol_vapour")
    kinds = ("barrel", "tank", "tote")
    accounts = ACCOUNTS
    vessel_field = "vessels-vessel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """Legs only for tanks, and for barrels after an accident or by an unusual gauge."""
        found = gauged_again(fields["vessels"], look)
        legs: list[Leg] = []
        for one in found:
            if not one.is_barrel or fields["why"]:
                purpose = "accident" if fields["why"] == "accident" else "regauge"
                legs += found_by_gauge(one.held, one.gauge, purpose)
        more = {leg.to.vessel: leg.proof_gallons for leg in legs if leg.origin.account == "gain"}
        return Plan(
            tuple(legs), document="RG-{n}", slips=tuple(map(_slip, found)),
            lines=tuple(_told(one, booked=bool(fields["why"])) for one in found),
            questions=more_question(more),
        )  # fmt: skip

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """What each barrel weighed and held, for its page."""
        rows = [
            (row["vessel"], gauge_facts(row, entry))
            for row in fields["vessels"]
            if row["vessel"].kind == Vessel.Kind.BARREL
        ]
        barrel_life.note_each(entry, Kind.REGAUGED, rows)

    def taken_back(self, entry: Entry) -> None:
        """The gauge never was."""
        barrel_life.take_back(entry)


def gauged_again(rows: list[dict[str, Any]], look: Look) -> list[Found]:
    """The gauges of *rows*. Raises BadFact for a vessel named twice, or not gauged."""
    codes = [row["vessel"].code for row in rows]
    if len(set(codes)) != len(codes):
        raise BadFact("A vessel stands here twice. Give each one row.", field="vessels")
    look(*codes)
    found = []
    for row, code in zip(rows, codes, strict=True):
        held = one_of(look.in_account(code, *ACCOUNTS), code, field="vessels")
        is_barrel = held.vessel.kind == Vessel.Kind.BARREL
        gauge = gauge_of(row, step=gauge_step(look) if is_barrel else "0.01")
        if gauge is None:
            raise BadFact(f"Give the gauge of {code}.", field="vessels")
        original = filled_with(held.vessel, held.lot.code, look.at) if is_barrel else None
        found.append(Found(held, gauge, original))
    return found


def gauge_facts(row: dict[str, Any], entry: Entry) -> dict[str, Any]:
    """What a BarrelAct keeps of a gauged row, at the step of the entry's day."""
    gauge = gauge_of(row, step=gauge_step(Look(entry.premises, entry.happened_at)))
    if gauge is None:
        return {}
    wine, proof = gallons(gauge)
    return {
        "gross_lb": barrel_life.pounds(row["gross"]),
        "tare_lb": barrel_life.pounds(row["tare"]), "wine_gallons": wine,
        "proof_gallons": proof, "proof": tenths(gauge.proof),
    }  # fmt: skip


def _slip(one: Found) -> Slip:
    told = slip(one.gauge, one.held.vessel.code)
    if one.original is None:
        return told
    return replace(told, result=(*told.result, ("original proof gallons", pg(one.original))))


def _told(one: Found, *, booked: bool) -> str:
    wine, proof = gallons(one.gauge)
    less = one.held.proof_gallons - proof
    words = f"{one.held.vessel.code}: {wg(wine)}, {one.gauge.proof:f} proof, {pg(proof)}"
    if not less:
        return f"{words}, as the book has it."
    words += f", {pg(abs(less))} {'less' if less > 0 else 'more'} than the book"
    if not one.is_barrel or booked:
        return f"{words}; booked now."
    return f"{words}; it keeps its filled {pg(one.held.proof_gallons)} till its dump (19.462(a))."
