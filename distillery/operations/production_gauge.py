"""Production gauge and entry to storage or processing (27 CFR 19.289, 19.304-306, 19.585)."""

from dataclasses import dataclass
from typing import Any

from django.core.exceptions import ValidationError

from distillery import barrels
from distillery.barrel_life import before_slip, gone_question
from distillery.barrels import UNWEIGHED, BarrelPart
from distillery.drawing import BULK
from distillery.forms import (
    ChoiceField,
    CodeField,
    GaugeField,
    QuantityField,
    RecordForm,
    RowsField,
    TextField,
    VesselField,
    YesField,
)
from distillery.forms.barrels_field import BarrelsField
from distillery.intended import intended, vessel_named
from distillery.kinds import family_field, type_field
from distillery.operations.base import Fields, Operation
from distillery.packages import day_of
from distillery.part_removals import rest_of, rest_question, rest_slips, unlike_question
from distillery.plans import (
    gallons,
    loss_or_gain,
    one_of,
    pg,
    place,
    room_question,
    slip,
    tenths,
    wg,
)  # fmt: skip
from distillery.pouring import TOGETHER, heel_in, pour
from distillery.standards import distilled_questions, entry_questions
from ledger.accounts import ACCOUNTS
from ledger.classes import class_for
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.models import Premises
from ledger.plan import Leg, NewLot, Place, Plan, Question, Slip

ENTERED = [(code, f"deposit in {code}") for code in ("storage", "processing")]


class ProductionGaugeForm(RecordForm):
    """What was gauged, what it is, and where it was entered."""

    vessel = VesselField(*BULK, label="Gauged in")
    gauge = GaugeField(step="record", label="Gauge of what leaves it")
    rest_stays = YesField(label="Only a part was taken; the rest stays there")
    account = ChoiceField(choices=ENTERED, label="Entered for")
    into = VesselField(*BULK, required=False, label="Into tank")
    barrels = RowsField(BarrelPart, required=False, label="Or straight into barrels")
    alike = BarrelsField(required=False, label="Barrels filled alike, like B-101..B-112")
    each = QuantityField(
        "volume", required=False, above=1, label="Average content, gallons, if not weighed"
    )
    family = family_field()
    type_code = type_field()
    distilled_at = QuantityField("proof", label="Proof of distillation")
    material = TextField(max_length=20, label="Made of, empty for what the mash says")
    producer = TextField(max_length=120, label="Producer, empty for this plant")
    state = TextField(max_length=40, label="State")
    lot = CodeField(label="Our lot code, empty for the next number")
    before = GaugeField(required=False, label="If only a part was taken: gauge before")
    after = GaugeField(required=False, label="If only a part was taken: gauge after")

    def __init__(self, *args: Any, premises: Premises, **options: Any) -> None:
        # What the run was meant to make; never a figure of the gauge, which is read anew.
        if found := vessel_named(premises, options.get("initial", {}).get("vessel")):
            options["initial"] = intended(found, "production") | options["initial"]
        super().__init__(*args, premises=premises, **options)

    def _record_step(self) -> str:
        # The step depends on the day, and the gauge is asked for before the day has its plant.
        self.fields["at"].premises = self.premises  # type: ignore[attr-defined]
        return super()._record_step()

    def clean(self) -> dict[str, Any]:
        """Either a tank or barrels."""
        data = super().clean() or {}
        if not self.errors:
            data["barrels"] += [UNWEIGHED | {"barrel": one} for one in data["alike"]]
        if not self.errors and bool(data["barrels"]) == bool(data["into"]):
            raise ValidationError({"into": "Give either one tank or the barrels filled."})
        if not self.errors and not data["rest_stays"] and data["after"]:
            raise ValidationError({"after": "This is the gauge of a rest. Say that it stays."})
        return data


@dataclass(frozen=True, slots=True)
class Entered:
    """The deposit: its movements, the lots it opens, its slips and questions."""

    legs: tuple[Leg, ...]
    lots: tuple[NewLot, ...]
    slips: tuple[Slip, ...]
    questions: tuple[Question, ...]
    wine: int
    proof: int


def gauged_lot(fields: Fields, held: Held, look: Look) -> NewLot:
    """The facts of the gauged spirits: class by family and proof, identity by 27 CFR 19.305."""
    kind, premises = held.lot.designation, look.premises
    plant = getattr(premises, "plant", None)
    maker = f"{plant.proprietor if plant else premises.name}, {premises.registry}"
    return NewLot(
        fields["lot"] or "S-{n}", "spirits", "pg", _name(fields),
        class_code=class_for(fields["family"], fields["distilled_at"]),
        type_code=fields["type_code"], source=kind.source,
        material=fields["material"] or kind.material, redistilled=kind.redistilled,
        distilled_at=tenths(fields["distilled_at"]),
        producer=(fields["producer"] or maker)[:120], state=fields["state"],
        formula=held.lot.formula, owner=held.lot.owner,
    )  # fmt: skip


def _name(fields: Fields) -> str:
    """In a tank whisky meant for barrels is a designate, as in "Bourbon Whisky Designate"."""
    family, name = fields["family"], fields["type_code"] or fields["family"]
    if family == "whisky" and "whisk" not in name:
        name = f"{name} whisky"
    if family == "whisky" and not fields["barrels"]:
        name = f"{name} designate"
    return name[:1].upper() + name[1:]


def into_tank(fields: Fields, held: Held, look: Look, lot: NewLot) -> Entered:
    """The gauge into one tank; onto a heel it is entered as itself and then mingled with it."""
    tank, account = fields["into"], fields["account"]
    wine, proof = gallons(fields["gauge"])
    to = Place(account, lot.code, tank.code)
    deposit = Leg(
        place(held), to, "deposit", 0, wine, proof,
        proof=tenths(fields["gauge"].proof), cooperage="tank",
    )  # fmt: skip
    if tank == held.vessel:
        if fields["rest_stays"]:
            raise BadFact(f"What was taken out does not stand in {tank.code}.", field="into")
        return Entered((deposit,), (lot,), (), (), wine, proof)
    heel = heel_in(look, tank, account, field="into")
    if heel and heel.lot.designation.class_code != lot.class_code:
        raise BadFact(
            f"{tank.code} holds {heel.lot.name} ({heel.lot.code}), which is of another class. "
            "Choose an empty tank.",
            field="into",
        )
    code = f"{fields['lot']}-mix" if fields["lot"] else "M-{n}"
    into = pour(look, vessel=tank, account=account, sources=[lot], code=code, field="into")
    legs = [deposit, *into.legs]
    if into.place != to:
        legs.append(Leg(to, into.place, TOGETHER[account], 0, wine, proof))
    asked = room_question(tank, wine + into.heel_wine, look)
    return Entered(tuple(legs), (lot, *into.lots), (), asked, wine, proof)


def into_barrels(fields: Fields, held: Held, look: Look, lot: NewLot) -> Entered:
    """Straight into barrels, each at its own gauge or the average (27 CFR 19.289(c), (d))."""
    gauge = fields["gauge"]
    fills = barrels.fill(
        look, fields["barrels"], proof=gauge.proof, wine=gallons(gauge)[0], each=fields["each"]
    )
    woods = [one.wood for one in fills]
    vessels = [one.vessel for one in fills]
    return Entered(
        barrels.fill_legs(fills, origin=place(held), account=fields["account"], purpose="deposit"),
        barrels.package_lots(fills, lot, day=day_of(look)),
        (barrels.fill_slip(fills), *before_slip(barrels.refilled(fills), look)),
        (
            *barrels.overfull_question(fills),
            *gone_question(vessels),
            *entry_questions(fields["family"], fields["type_code"], gauge.proof, woods),
        ),
        *barrels.filled_total(fills),
    )


class ProductionGauge(Operation):
    """Unfinished spirits become gauged ones: the record that fills the production report."""

    slug = "production-gauge"
    title = "Production gauge"
    group = "Distil"
    form = ProductionGaugeForm
    hazards = ("ethanol_vapour", "barrels", "lifting")
    kinds = BULK
    accounts = ("production",)
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Any) -> Plan:
        """Book against gauge first, inside production; then the deposit at the gauge."""
        code, gauge = fields["vessel"].code, fields["gauge"]
        held = one_of(look.in_account(code, "production"), code, field="vessel")
        lot = gauged_lot(fields, held, look)
        enter = into_barrels if fields["barrels"] else into_tank
        entered = enter(fields, held, look, lot)
        rest = rest_of(fields, held, wine=entered.wine, proof=entered.proof)
        title = ACCOUNTS[fields["account"]].title
        lines = [f"{wg(entered.wine)}, {pg(entered.proof)} enter {title}."]
        if fields["rest_stays"]:
            by = "the gauge" if fields["after"] else "the book"
            lines.append(f"Left in {code} by {by}: {wg(rest[0])}, {pg(rest[1])}.")
        found = entered.wine + rest[0], entered.proof + rest[1]
        legs = (
            *loss_or_gain(
                place(held), wine=found[0] - held.wine_gallons,
                proof=found[1] - held.proof_gallons, purpose="regauge",
            ),
            *entered.legs,
        )  # fmt: skip
        asked = (*unlike_question(held, found[1]), *rest_question(fields), *entered.questions)
        odd = distilled_questions(fields["family"], fields["type_code"], fields["distilled_at"])
        return Plan(
            legs, entered.lots, document="GR-{n}", lines=tuple(lines),
            slips=(*rest_slips(fields), slip(gauge, "Production gauge"), *entered.slips),
            questions=(*odd, *asked),
        )  # fmt: skip
