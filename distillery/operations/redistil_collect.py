"""Collect from a still in processing, and end its run (27 CFR 19.602)."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.botanicals import spells_of
from distillery.forms import ChoiceField, RecordForm, TextField, VesselField, YesField
from distillery.gauged_rows import GaugedPart, GaugedRowsField, gauge_of
from distillery.kinds import band_field, class_of, distilled_at_field, family_field, type_field
from distillery.operations.base import Fields, Operation
from distillery.operations.blend import TANKS
from distillery.operations.close_run import LEAST_RECOVERED
from distillery.plans import (
    gallons,
    loss_or_gain,
    lot_like,
    pg,
    place,
    room_question,
    slip,
    tenths,
    wg,
)
from distillery.pouring import Poured, pour
from ledger.errors import BadFact
from ledger.gauging import Gauge
from ledger.looking import Held
from ledger.models import Movement
from ledger.plan import Leg, NewLot, Place, Plan, Question, Slip

WHAT = [("", "Choose"), ("spirits", "spirits"), ("feints", "feints, kept for another run")]


class OutputPart(GaugedPart):
    """One vessel filled from the still: its gauge and what it is."""

    field_order = ("vessel", "what", "family", "type_code", "name")
    vessel = VesselField(*TANKS, "receiver", label="Into")
    what = ChoiceField(choices=WHAT, label="What")
    family = family_field(required=False)
    type_code = type_field()
    name = TextField(max_length=80, label="Name")
    distilled_at = distilled_at_field()
    band = band_field()

    def clean(self) -> dict[str, Any]:
        """An output has a gauge."""
        data = super().clean()
        if not self.is_gauged:
            raise ValidationError("Gauge what came out: a volume or weight, and its proof.")
        return data


class RedistilCollectForm(RecordForm):
    """What came out, and whether the run is over."""

    still = VesselField("still", label="Still")
    outputs = GaugedRowsField(OutputPart, required=False, label="Collected")
    ends = YesField(label="The run is over; what stands in the still is residue")

    def clean(self) -> dict[str, Any]:
        """Something came out or the run ended."""
        data = super().clean() or {}
        if not self.errors and not data["outputs"] and not data["ends"]:
            raise ValidationError({"outputs": "Tell what came out, or that the run is over."})
        return data


class RedistilCollect(Operation):
    """Products and feints into tanks of processing; the end shows in against out."""

    slug = "still-collect-processing"
    title = "Collect from a still in processing"
    group = "Process and bottle"
    form = RedistilCollectForm
    hazards = ("ethanol_vapour", "hot_liquor", "still_pressure")
    kinds = ("still",)
    accounts = ("processing",)
    vessel_field = "still"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """A leg an output; at the end water to residue and missing alcohol to loss."""
        run = _run_in(look, fields["still"].code)
        legs, lots, slips, asked = _outputs(fields, run, look)
        wine = sum(leg.wine_gallons for leg in legs if leg.purpose == "redistil_out")
        proof = sum(leg.proof_gallons for leg in legs if leg.purpose == "redistil_out")
        more = max(0, proof - run.proof_gallons)
        gained = loss_or_gain(
            place(run), wine=max(0, wine - run.wine_gallons), proof=more, purpose="redistil"
        )
        end = _end(run, wine=wine, proof=proof) if fields["ends"] else ()
        memo, missing = _memo(run, proof, look) if fields["ends"] else ((), ())
        return Plan(
            (*gained, *legs, *end), lots, slips=(*slips, *memo),
            lines=(f"{wg(wine)}, {pg(proof)} collected from {run.lot.code}.",),
            questions=(*asked, *_more(run, proof, more), *missing),
        )  # fmt: skip


def _run_in(look: Any, still: str) -> Held:
    found: list[Held] = look.in_account(still, "processing")
    if not found:
        raise BadFact(
            f"No run of processing stands in {still} by the book. Charge it first.", field="still"
        )
    return found[0]


def _codes(rows: list[dict[str, Any]]) -> list[str]:
    """``B-{n}``, then ``B-{n}-2``; feints are ``F-{n}``."""
    codes, seen = [], {"spirits": 0, "feints": 0}
    for row in rows:
        seen[row["what"]] += 1
        start = "F-{n}" if row["what"] == "feints" else "B-{n}"
        codes.append(start if seen[row["what"]] == 1 else f"{start}-{seen[row['what']]}")
    return codes


def _output(row: dict[str, Any], code: str, run: Held, gauge: Gauge) -> NewLot:
    """The facts of one output: the kind it is told, else that of the charge."""
    at = row["distilled_at"]
    if at is None and not row["band"]:
        at = gauge.proof
    kind = class_of({**row, "distilled_at": at}) or run.lot.designation.class_code
    is_feints = row["what"] == "feints"
    named = row["type_code"] or row["family"] or run.lot.name
    return lot_like(
        run.lot, code, stage="feints" if is_feints else "batch", class_code=kind,
        type_code="" if is_feints else row["type_code"] or run.lot.designation.type_code,
        name=row["name"] or ("Feints" if is_feints else named.capitalize()),
        distilled_at=None if at is None else tenths(at), redistilled=True,
    )  # fmt: skip


def _outputs(
    fields: Fields, run: Held, look: Any
) -> tuple[list[Leg], tuple[NewLot, ...], list[Slip], list[Question]]:
    rows = fields["outputs"]
    vessels = [row["vessel"] for row in rows]
    if len({vessel.code for vessel in vessels}) != len(vessels):
        raise BadFact("A vessel stands here twice. Give each one row.", field="outputs")
    legs: list[Leg] = []
    lots: list[NewLot] = []
    slips: list[Slip] = []
    asked: list[Question] = []
    for row, code in zip(rows, _codes(rows), strict=True):
        gauge = gauge_of(row)
        if gauge is None:
            raise BadFact("Gauge what came out.", field="outputs")
        lot = _output(row, code, run, gauge)
        into = _into(row, lot, look)
        wine, proof = gallons(gauge)
        out = Leg(place(run), into.place, "redistil_out", 0, wine, proof, proof=tenths(gauge.proof))
        legs += [*into.legs, out]
        lots += into.lots or (lot,)
        slips.append(slip(gauge, row["vessel"].code))
        asked += room_question(row["vessel"], wine + into.heel_wine, look)
    return legs, tuple(lots), slips, asked


def _into(row: dict[str, Any], lot: NewLot, look: Any) -> Poured:
    """The output in its vessel; onto a heel it counts as what it is told to be."""
    return pour(
        look, vessel=row["vessel"], account="processing", sources=[lot], code=lot.code,
        stage=lot.stage, class_code=lot.class_code, type_code=lot.type_code, name=lot.name,
        field="outputs",
    )  # fmt: skip


def _end(run: Held, *, wine: int, proof: int) -> tuple[Leg, ...]:
    at, code = place(run), run.lot.code
    left = max(0, run.wine_gallons - wine), max(0, run.proof_gallons - proof)
    lost = Leg(at, Place("loss", code), "redistil", 0, 0, left[1])
    residue = Leg(at, Place("residue", code), "run", 0, left[0])
    return tuple(leg for leg, size in ((lost, left[1]), (residue, left[0])) if size)


def _memo(run: Held, proof: int, look: Any) -> tuple[tuple[Slip, ...], tuple[Question, ...]]:
    """Kind and quantity in and out of the run (27 CFR 19.602), and whether much is missing."""
    rows = Movement.objects.filter(at__lte=look.at).select_related("from_lot", "to_lot")
    runs = spells_of(run.lot)
    came = rows.filter(to_lot__in=runs, purpose="redistil_in")
    went = rows.filter(from_lot__in=runs, purpose="redistil_out")
    put_in = [(f"in: {row.from_lot.name}", pg(row.proof_gallons)) for row in came if row.from_lot]
    before = [(f"out: {row.to_lot.name}", pg(row.proof_gallons)) for row in went if row.to_lot]
    total_in = sum(row.proof_gallons for row in came)
    total_out = sum(row.proof_gallons for row in went) + proof
    result = (("in", pg(total_in)), ("out", pg(total_out)), ("lost", pg(total_in - total_out)))
    told = Slip("Redistillation", (*put_in, *before, ("out now", pg(proof))), (), result)
    if total_out * 100 >= total_in * LEAST_RECOVERED:
        return (told,), ()
    text = (
        f"{pg(total_in - total_out)} of the {pg(total_in)} charged have not been collected. Is an "
        "output still missing, or end the run with that loss?"
    )
    return (told,), (Question("fraction-missing", text),)


def _more(run: Held, proof: int, more: int) -> tuple[Question, ...]:
    if not more:
        return ()
    text = (
        f"{run.lot.code} has {pg(run.proof_gallons)} left of its charge, and this takes "
        f"{pg(proof)}. Book the difference as a gain of the run?"
    )
    return (Question("more-than-charged", text),)
