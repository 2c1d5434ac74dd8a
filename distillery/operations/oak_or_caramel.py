"""Put oak chips or caramel into spirits in a tank or barrel (27 CFR 19.484, 19.590(b)).

The spirits become a new lot: from here on their packages are marked OC or BSA.
"""

from django.core.exceptions import ValidationError

from distillery.forms import ChoiceField, RecordForm, RowsField, TextField, VesselField
from distillery.identity import Made
from distillery.material_draws import DrawPart, draw_legs, told
from distillery.models import LotMark
from distillery.operations.base import Fields, Operation
from distillery.plans import lot_like, move, one_of, pg
from distillery.standards import name_questions
from ledger.classes import CLASSES
from ledger.looking import Look
from ledger.models import Entry, Lot
from ledger.plan import Place, Plan, Question

ACCOUNTS = ("storage", "processing")
WORDS = {"OC": "oak chips", "BSA": "caramel"}


class OakOrCaramelForm(RecordForm):
    """Where, what, and how much of it."""

    vessel = VesselField("tank", "tote", "barrel", label="In")
    what = ChoiceField(choices=LotMark.Mark.choices, label="Put in")
    materials = RowsField(DrawPart, required=False, label="From the shelf")
    quantity = TextField(max_length=60, label="Or how much, like 2 lb")
    kind = TextField(max_length=120, label="What kind: wood and toast, maker")

    def clean(self) -> dict[str, object]:
        """A quantity, from the book's materials or as told."""
        data = super().clean() or {}
        if not self.errors and not data["materials"] and not data["quantity"]:
            raise ValidationError({"quantity": "Say how much was put in."})
        return data


class OakOrCaramel(Operation):
    """No proof gallon moves; what it is called may change."""

    slug = "oak-or-caramel"
    title = "Add oak chips or caramel"
    group = "Store"
    form = OakOrCaramelForm
    hazards = ("ethanol_vapour", "confined_space")
    kinds = ("tank", "tote", "barrel")
    accounts = ACCOUNTS
    vessel_field = "vessel"
    is_rare = True

    def plan(self, fields: Fields, look: Look) -> Plan:
        """All of it to a lot of its own, with the materials as parents."""
        code = fields["vessel"].code
        held = one_of(look.in_account(code, *ACCOUNTS), code, field="vessel")
        letter = "M" if held.account == "storage" else "B"
        lot = lot_like(held.lot, f"{letter}-{{n}}")
        to = Place(held.account, lot.code, code)
        used = draw_legs(
            look, fields["materials"], into=lot.code, purpose="batch", field="materials"
        )
        amounts = [told(row["lot"], row["amount"]) for row in fields["materials"]]
        amounts += [fields["quantity"]] if fields["quantity"] else []
        words = f"{WORDS[fields['what']]}, {', '.join(amounts)}"
        lines = (
            f"{code}, {pg(held.proof_gallons)}: {words}.",
            f"Packages of it are marked {fields['what']} from now on (27 CFR 19.484).",
        )
        return Plan(
            (move(held, to, "move"), *used), (lot,), lines=lines,
            questions=_named(held.lot, fields["what"]),
        )  # fmt: skip

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """The mark of the new lot."""
        LotMark.objects.create(
            premises=entry.premises, entry=entry, lot=entry.lots_opened.get(),
            mark=fields["what"], words=" ".join(plan.lines[0].split())[:200],
        )  # fmt: skip

    def taken_back(self, entry: Entry) -> None:
        """Nothing was put in."""
        LotMark.objects.filter(entry=entry).update(is_void=True)


def _named(lot: Lot, what: str) -> tuple[Question, ...]:
    kind = lot.designation
    if kind.class_code not in CLASSES:
        return ()
    added = frozenset({"coloring" if what == "BSA" else "blending"})
    return name_questions(CLASSES[kind.class_code].family, kind.type_code, Made(added=added))
