"""A day's bottles: full cases and loose ones, out of the tank of an open bottling."""

from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottling import bottled_so_far, existing_lot, finished_lot, run_at, tank_of
from distillery.case_serials import Serials, keep_serials, loose_left, next_serials
from distillery.fill import is_standard_size, worth
from distillery.forms import QuantityField, RecordForm, RowsField, TextField, VesselField
from distillery.models import BottlingRun, CaseSerials
from distillery.operations.base import Fields, Operation
from distillery.plans import pg, place, tenths, wg
from distillery.supplies import SupplyPart, empties_question, supply_legs
from distillery.supplies import told as told_supplies
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Entry, Lot
from ledger.plan import Leg, NewLot, Place, Plan, Question, Slip


class BottleForm(RecordForm):
    """What was filled today and out of what (27 CFR 19.357, 19.599, 19.603)."""

    vessel = VesselField("bottling_tank", "tank", label="Bottling tank")
    cases = QuantityField("count", required=False, label="Full cases")
    loose = QuantityField("count", required=False, label="Loose bottles beside them")
    from_loose = QuantityField(
        "count", required=False, label="Of the bottles in those cases, loose ones of earlier days"
    )
    store = VesselField("store", label="Case store")
    proof_bottled = QuantityField(
        "proof", required=False, label="Proof bottled, if not the tank gauge's"
    )
    first_case = QuantityField(
        "count", required=False, above=1, label="Number of the first case, empty for the next"
    )
    materials = RowsField(
        SupplyPart, required=False, label="Empty bottles, closures, labels, sleeves, cartons"
    )
    line = TextField(max_length=40, label="Line")

    def clean(self) -> dict[str, Any]:
        """Whole numbers, and at least one bottle in sight."""
        data = super().clean() or {}
        for name in ("cases", "loose", "from_loose", "first_case"):
            if name in self.cleaned_data:
                data[name] = int(data.get(name) or 0)
        if not self.errors and not (data["cases"] or data["loose"]):
            raise ValidationError({"cases": "Give the full cases or the loose bottles, like 43."})
        return data


class Bottle(Operation):
    """Bottles appear from glass and take gallons of the tank with them."""

    slug = "bottle"
    title = "Bottle"
    group = "Process and bottle"
    form = BottleForm
    hazards = ("ethanol_vapour", "glass", "lifting")
    kinds = ("bottling_tank", "tank")
    accounts = ("processing",)
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """The tank's gallons and the bottles into the finished lot of the bottling."""
        run = run_at(fields["vessel"], look.at)
        held = tank_of(run, look)
        known = existing_lot(run, look)
        facts: Lot | NewLot = known or finished_lot(run.lot_code, run.product, held.lot)
        if known:
            check_same(known, held.lot, fields["vessel"].code)
        bottles = count_of(fields, facts)
        label = Decimal(facts.label_proof or 0) / 10
        proof = tenths(fields["proof_bottled"] or run.tank_proof or label)
        worth_now = self._worth(run, facts, bottles, proof, look)
        serials = self._serials(run, fields)
        to = Place("finished", run.lot_code, fields["store"].code)
        legs = [Leg(Place("glass", run.lot_code), to, "bottle", bottles, proof=proof)]
        if any(worth_now):
            legs.insert(0, Leg(place(held), to, "bottle", 0, *worth_now, proof=proof))
        supplies = fields["materials"]
        legs += supply_legs(look, supplies, into=known, code=run.lot_code)
        slips = [told(facts, bottles, worth_now, serials, proof)]
        if supplies:
            slips.append(Slip("Empty bottles, closures and labels", told_supplies(supplies)))
        return Plan(
            tuple(legs), (facts,) if isinstance(facts, NewLot) else (),
            document=str(serials)[:60], slips=tuple(slips),
            lines=(f"{bottles:,} bottles of {run.product} into {fields['store'].code}.",),
            questions=(
                *size_question(facts), *empties_question(supplies, bottles),
                *loose_question(run, fields), *remnant_question(run, serials),
            ),
        )  # fmt: skip

    def _worth(
        self, run: BottlingRun, facts: Lot | NewLot, bottles: int, proof: int, look: Look
    ) -> tuple[int, int]:
        before, booked = bottled_so_far(look.premises, run.lot_code)
        before[proof] = before.get(proof, 0) + bottles
        parts = [(count, strength) for strength, count in before.items()]
        wine, proof_gallons = worth(parts, bottle_ml=facts.bottle_ml or 0, booked=booked)
        return max(0, wine), max(0, proof_gallons)

    def _serials(self, run: BottlingRun, fields: Fields) -> Serials:
        return next_serials(
            run.premises, run.product.case_series, cases=fields["cases"],
            remnant_bottles=fields["loose"], first_marked=fields["first_case"] or None,
        )  # fmt: skip

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """The case numbers of the day, under the same lock that planned them."""
        run = run_at(fields["vessel"], entry.happened_at)
        serials = self._serials(run, fields)
        keep_serials(entry, serials, product=run.product, from_loose=fields["from_loose"])


def count_of(fields: Fields, facts: Lot | NewLot) -> int:
    """Bottles filled today: those in full cases and the loose ones, less the earlier loose ones."""
    in_cases = fields["cases"] * (facts.per_case or 0)
    if fields["from_loose"] > in_cases:
        raise BadFact("More earlier bottles than these cases hold.", field="from_loose")
    bottles = in_cases + fields["loose"] - fields["from_loose"]
    if not bottles:
        raise BadFact("No bottle was filled. Give what was filled today.", field="cases")
    return int(bottles)


def check_same(known: Lot, bulk: Lot, tank: str) -> None:
    """Refuse another bulk lot under the same finished lot where it would count otherwise."""
    facts = ("source", "reduced_rate")
    same = all(getattr(known.designation, f) == getattr(bulk.designation, f) for f in facts)
    if bulk.pk > known.pk or not same:
        raise BadFact(
            f"{tank} was filled with another lot since this bottling began. Close it, "
            "and open a new one with its tank gauge (27 CFR 19.353).",
            field="vessel",
        )


def loose_question(run: BottlingRun, fields: Fields) -> tuple[Question, ...]:
    """Asks when more loose bottles are cased than the records have left (27 CFR 19.359)."""
    left = loose_left(run.product)
    if fields["from_loose"] <= left:
        return ()
    text = (
        f"The records have {max(0, left):,} loose bottles of {run.product} left and "
        f"{fields['from_loose']:,} went into these cases. Keep it?"
    )
    return (Question("more-loose", text),)


def remnant_question(run: BottlingRun, serials: Serials) -> tuple[Question, ...]:
    """Asks when another product's or bottling's remnant bears this number with R."""
    if not serials.remnant_bottles or not serials.last or serials.first:
        return ()
    same = CaseSerials.objects.filter(
        premises=run.premises, series=serials.letters, last=serials.last,
        remnant_bottles__gt=0, entry__reversed_by=None,
    ).exclude(entry__movements__to_lot__code=run.lot_code)  # fmt: skip
    other = same.select_related("entry", "product").first()
    if other is None:
        return ()
    text = (
        f"Remnant {serials} stands on bottles of entry {other.entry.number} already. Keep the "
        "mark, or leave these bottles uncased (27 CFR 19.359)?"
    )
    return (Question("remnant-twice", text),)


def size_question(facts: Lot | NewLot) -> tuple[Question, ...]:
    """Asks when the bottle is no standard of fill (27 CFR 5.203(a))."""
    if is_standard_size(facts.bottle_ml or 0):
        return ()
    text = (
        f"{facts.bottle_ml} mL is not a standard of fill (27 CFR 5.203(a)). Bottle it all the same?"
    )
    return (Question("not-a-standard-size", text),)


def told(
    facts: Lot | NewLot, bottles: int, worth_now: tuple[int, int], serials: Serials, proof: int
) -> Slip:
    """How the figures were found, and the numbers to mark on the cases."""
    size = f"{bottles:,} bottles × {facts.bottle_ml} mL"
    steps = (
        f"{size} × 0.264172 gal a liter (27 CFR 19.582) × proof ÷ 100 (27 CFR 30.52), rounded "
        "over the whole bottling, less what its earlier days took.",
    )
    marks = str(serials) or f"{serials.remnant_bottles} loose, not cased"
    result = (
        ("wine gallons", wg(worth_now[0])),
        ("proof gallons", pg(worth_now[1])),
        ("case serials", marks),
    )
    return Slip(
        "Bottles",
        (
            ("label proof", f"{Decimal(facts.label_proof or 0) / 10:f}"),
            ("proof bottled", f"{Decimal(proof) / 10:f}"),
        ),
        steps,
        result,
    )
