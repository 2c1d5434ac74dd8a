"""Opening a bottling: the tank gauge after filtering and reduction, before the first bottle."""

from datetime import date
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError

from distillery.ages import Span, counted_on
from distillery.bottling import bottled_so_far, class_of_product, runs_in
from distillery.fill import is_standard_size
from distillery.fill_tests import has_too_much_headspace, headspace_pct
from distillery.forms import (
    CodeField,
    GaugeField,
    ProductField,
    RecordForm,
    TextField,
    VesselField,
    YesField,
)
from distillery.models import BottlingRun, Product
from distillery.naming import age_question, naming_questions
from distillery.operations.base import Fields, Operation
from distillery.plans import found_by_gauge, gallons, pg, slip, wg
from ledger.classes import CLASSES
from ledger.errors import BadFact
from ledger.gauging import Gauge, half_up
from ledger.looking import Held, Look
from ledger.models import Entry, Lot
from ledger.plan import Plan, Question

NEEDS_FORMULA = ("gin", "other")  # 27 CFR 5.193; whisky, brandy, rum and vodka as such need none
TENTH = 10  # a tenth of a proof gallon: what 27 CFR 19.289(d) rounds to


class OpenBottlingForm(RecordForm):
    """The tank, what it is bottled as, and its gauge (27 CFR 19.353, 19.599)."""

    vessel = VesselField("bottling_tank", "tank", label="Bottling tank")
    product = ProductField(label="Product")
    gauge = GaugeField(purpose="bottling", label="Tank gauge, ready to bottle")
    serial = CodeField(label="Bottling record serial, empty for the next number")
    lot = CodeField(label="Code of the finished lot, empty for the next number")
    age = TextField(max_length=40, label="Age on the label, if any")
    bottled_in_bond = YesField(label="Bottled in bond")

    def clean(self) -> dict[str, Any]:
        """The codes given must be free."""
        data = super().clean() or {}
        mine = BottlingRun.objects.filter(premises=self.premises, is_void=False)
        if data.get("serial") and mine.filter(serial=data["serial"]).exists():
            raise ValidationError({"serial": f"“{data['serial']}” is a bottling record already."})
        if code := data.get("lot"):
            lots = Lot.objects.filter(premises=self.premises, code=code)
            if lots.exists() or mine.filter(lot_code=code).exists():
                raise ValidationError({"lot": f"There is already a lot “{code}”."})
        return data


def strength_question(product: Product, gauge: Gauge) -> tuple[Question, ...]:
    """Asks when the gauge strays more than 0.3 points of alcohol from the label.

    27 CFR 5.65(c), 19.353, 19.356(c); 0.3 % by volume is 0.6 degree of proof.
    """
    if abs(gauge.proof - product.label_proof) <= Decimal("0.6"):
        return ()
    text = (
        f"The tank is {gauge.proof:f} proof and the label says {product.label_proof:f}. The law "
        "allows 0.3 points of alcohol, 0.6 proof, either way (27 CFR 5.65(c), 19.356(c)). "
        "Open it all the same?"
    )
    return (Question("proof-off-label", text),)


def paper_questions(product: Product, bulk: Lot) -> tuple[Question, ...]:
    """Asks for what is not on file or does not agree; none of it stops what is being done."""
    found = []
    class_code, fits = class_of_product(product, bulk)
    if not fits:
        has, wants = bulk.designation.class_code, CLASSES[class_code].title
        title = CLASSES[has].title if has else "no class"
        text = f"Lot {bulk.code} is {title}; {product.name} would count as {wants}. Is that right?"
        found.append(Question("class-differs", text))
    if product.family in NEEDS_FORMULA and not (product.formula_no or bulk.formula):
        text = f"{product.name} has no formula number on file (27 CFR 5.193). Open it all the same?"
        found.append(Question("no-formula", text))
    if not product.label_approval:
        text = f"{product.name} has no label approval on file (27 CFR 5.21). Open it all the same?"
        found.append(Question("no-label-approval", text))
    if not is_standard_size(product.bottle_ml):
        text = (
            f"{product.bottle_ml} mL is not a standard of fill (27 CFR 5.203(a)). "
            "Open it all the same?"
        )
        found.append(Question("not-a-standard-size", text))
    return (*found, *headspace_question(product))


def headspace_question(product: Product) -> tuple[Question, ...]:
    """Asks when the bottle leaves over 8 % empty, from 200 mL on (27 CFR 5.202(b))."""
    brimful = product.brimful_ml
    if not brimful or not has_too_much_headspace(product.bottle_ml, brimful):
        return ()
    text = (
        f"{product.bottle_ml} mL in a bottle of {brimful} mL leave "
        f"{headspace_pct(product.bottle_ml, brimful)} % empty; 8 % is allowed (27 CFR 5.202). "
        "Open it all the same?"
    )
    return (Question("head-space", text),)


def bond_question(product: Product, bulk: Lot, day: date) -> tuple[Question, ...]:
    """Asks when “bottled in bond” does not fit: 100 proof, four years in wood (27 CFR 5.88)."""
    if product.label_proof == 100 and counted_on(bulk, day) >= Span(4):
        return ()
    text = "Bottled in bond is 100 proof and four years in wood (27 CFR 5.88). Say so all the same?"
    return (Question("not-bottled-in-bond", text),)


def more_question(held: Held, gauge: Gauge) -> tuple[Question, ...]:
    """Asks when the gauge finds more than the book by over a tenth of a proof gallon."""
    more = gallons(gauge)[1] - held.proof_gallons
    if more <= TENTH:
        return ()
    text = (
        f"The book has {pg(held.proof_gallons)} in {held.vessel.code} and the gauge finds "
        f"{pg(more)} more. Did you find more than the book has?"
    )
    return (Question("found-more", text),)


class OpenBottling(Operation):
    """The tank's difference between book and gauge is settled here, before any bottle."""

    slug = "open-bottling"
    title = "Open a bottling"
    group = "Process and bottle"
    form = OpenBottlingForm
    hazards = ("ethanol_vapour",)
    kinds = ("bottling_tank", "tank")
    accounts = ("processing",)
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """The gain or loss of the tank, and the number of the bottling record."""
        vessel, product, gauge = fields["vessel"], fields["product"], fields["gauge"]
        self._check_free(vessel)
        held = look.one(vessel.code, "processing")
        day = look.at.astimezone(look.premises.zone).date()
        asked = strength_question(product, gauge) + paper_questions(product, held.lot)
        asked += naming_questions(product, held.lot, day)
        asked += age_question(fields["age"], product, held.lot, day)
        if fields["bottled_in_bond"]:
            asked += bond_question(product, held.lot, day)
        wine, proof = gallons(gauge)
        told = (
            f"{vessel.code}: the book has {wg(held.wine_gallons)}, {pg(held.proof_gallons)}; "
            f"the gauge finds {wg(wine)}, {pg(proof)} of lot {held.lot.code}.",
        )
        return Plan(
            found_by_gauge(held, gauge, "reduce"), document=fields["serial"] or "BR-{n}",
            slips=(slip(gauge, "Bottling-tank gauge"),), lines=told,
            questions=asked + more_question(held, gauge),
        )  # fmt: skip

    def _check_free(self, vessel: Any) -> None:
        open_run = next((run for run in runs_in(vessel) if run.closed_by is None), None)
        if open_run:
            raise BadFact(
                f"Bottling {open_run.serial} is still open in {vessel.code}. Close it first.",
                field="vessel",
            )

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """The open bottling."""
        BottlingRun.objects.create(
            premises=entry.premises, vessel=fields["vessel"], product=fields["product"],
            serial=entry.document, lot_code=fields["lot"] or f"K-{entry.number}", opened_by=entry,
            tank_proof=half_up(fields["gauge"].proof, "0.1"),
        )  # fmt: skip

    def taken_back(self, entry: Entry) -> None:
        """The bottling never was; refused while bottles or a close stand on it."""
        run = BottlingRun.objects.get(opened_by=entry)
        if run.closed_by:
            raise BadFact(f"Take back its close first, entry {run.closed_by.number}.")
        bottles, _ = bottled_so_far(run.premises, run.lot_code)
        if any(bottles.values()):
            raise BadFact(f"Bottles of lot {run.lot_code} were filled under it. Take those back.")
        run.is_void = True
        run.save(update_fields=["is_void"])
