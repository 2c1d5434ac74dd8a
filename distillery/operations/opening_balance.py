"""Opening balances: what stood in the plant when this book was begun."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottled import labelled
from distillery.forms import (
    AgeField,
    ChoiceField,
    CodeField,
    MaterialField,
    Part,
    ProductField,
    QuantityField,
    RecordForm,
    RowsField,
    TextField,
    VesselField,
    WhenField,
    YesField,
    wood_field,
)
from distillery.kinds import band_field, class_of, distilled_at_field, family_field, type_field
from distillery.operations.base import Fields, Operation
from distillery.plans import pg, tenths
from distillery.told_age import told_age
from ledger import units
from ledger.accounts import ACCOUNTS, INSIDE
from ledger.classes import SOURCES, class_for
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Lot
from ledger.plan import Leg, NewLot, Place, Plan
from ledger.quantities import amount_to_book, to_hundredths

BOTTLES = ("finished", "taxpaid")
BULK = ("production", "redistil", "storage", "processing")
# account -> stage, unit and letter of its lots
LOTS = {
    "materials": ("material", "", "G"),
    "fermenting": ("wash", "gal", "W"),
    "production": ("fraction", "pg", "R"),
    "redistil": ("spirits", "pg", "N"),
    "storage": ("spirits", "pg", "S"),
    "processing": ("batch", "pg", "B"),
    "finished": ("bottled", "bottle", "K"),
    "taxpaid": ("bottled", "bottle", "K"),
}
UNIT_KINDS = {"lb": "weight", "g": "small_weight", "gal": "volume", "each": "count"}


class StandingPart(Part):
    """What stands in one vessel. Rows of one code are one lot; its first row tells its facts."""

    account = ChoiceField(
        choices=[("", "choose")] + [(code, ACCOUNTS[code].title) for code in INSIDE],
        label="Account",
    )
    vessel = VesselField(label="Vessel")
    lot = CodeField(label="Lot code, empty for a number")
    name = TextField(max_length=80, label="Name, empty for its kind")
    material = MaterialField(required=False, label="Material")
    quantity = TextField(label="Quantity of the material, like 2,000 lb")
    wine_gallons = QuantityField("volume", required=False, label="Gallons")
    proof_gallons = QuantityField("proof_gallons", required=False, label="Proof gallons")
    family = family_field(required=False)
    type_code = type_field()
    distilled_at = distilled_at_field()
    band = band_field()
    source = ChoiceField(
        choices=[("", "domestic unless told"), *SOURCES.items()], required=False, label="Source"
    )
    producer = TextField(max_length=120, label="Producer")
    state = TextField(max_length=40, label="State where produced")
    aged_from = WhenField(required=False, label="In this wood since, barrels only")
    wood = wood_field()
    aged_new = AgeField(label="Age before, in charred new oak, like 2 years 3 months")
    aged_other = AgeField(label="Age before, in other wood")
    redistilled = YesField(label="Redistilled")
    full_rate = YesField(label="Not for the reduced rates of tax")
    product = ProductField(required=False, label="Product")
    bottles = QuantityField("count", required=False, above=1, label="Bottles")

    def clean(self) -> dict[str, Any]:
        """What the account is counted in must be there."""
        data = super().clean() or {}
        if self.errors:
            return data
        account = data["account"]
        if account == "materials" and not (data["material"] and data["quantity"]):
            raise ValidationError("A material needs its name and its quantity, like 2,000 lb.")
        if account == "fermenting" and data["wine_gallons"] is None:
            raise ValidationError("A wash needs its gallons.")
        if account in BULK and None in (data["wine_gallons"], data["proof_gallons"]):
            raise ValidationError("Spirits in bulk need gallons and proof gallons.")
        if account in BOTTLES and data["bottles"] is None:
            raise ValidationError("Bottled goods need their bottles.")
        return data


class OpeningBalanceForm(RecordForm):
    """All that stood somewhere, by vessel."""

    rows = RowsField(StandingPart, most=500, label="What stood where")


class OpeningBalance(Operation):
    """A running plant starts in the middle; its first report opens with these figures."""

    slug = "opening-balance"
    title = "Opening balance"
    group = "Count and correct"
    form = OpeningBalanceForm
    owner_only = True

    def plan(self, fields: Fields, look: Look) -> Plan:
        """Each row's lot, if it is new, and its quantity from the opening boundary."""
        rows = fields["rows"]
        lots: dict[str, Lot | NewLot] = {}
        legs = []
        taken: dict[str, str] = {}
        for number, row in enumerate(rows, 1):
            code = row["lot"] or default_code(row["account"], number, alone=len(rows) == 1)
            try:
                if code not in lots:
                    lots[code] = existing(code, row, look) or opened(code, row, look)
                if lots[code].stage != LOTS[row["account"]][0]:
                    raise BadFact(f"Lot {code} is {lots[code].stage}; give this row its own lot.")
                check_room(row, code, look, taken)
                legs.append(standing(row, lots[code]))
            except BadFact as error:
                raise BadFact(f"Row {number}: {error}", field="rows") from error
        new = tuple(lot for lot in lots.values() if isinstance(lot, NewLot))
        proof = sum(leg.proof_gallons for leg in legs)
        line = f"Opens {len(new)} lots in {len(legs)} places, {pg(proof)} in all."
        return Plan(tuple(legs), new, lines=(line,))


def default_code(account: str, number: int, *, alone: bool) -> str:
    """A code by the entry's number, and the row's when there are several."""
    letter = LOTS[account][2]
    return f"{letter}-{{n}}" if alone else f"{letter}-{{n}}-{number}"


def existing(code: str, row: dict[str, Any], look: Look) -> Lot | None:
    """The lot of an earlier opening entry, to stand in one more vessel."""
    if not row["lot"] or code not in look.codes_like(code):
        return None
    lot = look.lot(code)
    if lot.opened_by.operation != OpeningBalance.slug or lot.stage != LOTS[row["account"]][0]:
        raise BadFact(f"There is already a lot “{code}”. Give this one another code.")
    return lot


def check_room(row: dict[str, Any], code: str, look: Look, taken: dict[str, str]) -> None:
    """Refuse a second lot of spirits in one vessel."""
    vessel = row["vessel"].code
    if row["account"] not in (*BULK, "fermenting"):
        return
    held = look.in_account(vessel, *BULK, "fermenting")
    before = taken.setdefault(vessel, held[0].lot.code if held else code)
    if before != code:
        raise BadFact(f"{vessel} holds lot {before} already. A vessel holds one lot.")


def opened(code: str, row: dict[str, Any], look: Look) -> NewLot:
    """The new lot of a row. Raises BadFact for a fact that its account needs and lacks."""
    account = row["account"]
    stage, unit, _ = LOTS[account]
    if account == "materials":
        return _material(code, row)
    if account in BOTTLES:
        return _bottled(code, row, look)
    if account in BULK and not row["family"]:
        raise BadFact("Say what kind of spirits this is.")
    name = row["name"] or (row["type_code"] or row["family"] or "wash").capitalize()
    return NewLot(code, stage, unit, name, class_code=class_of(row), **_facts(row, look))


def _facts(row: dict[str, Any], look: Look) -> dict[str, Any]:
    proof = row["distilled_at"]
    return {
        "type_code": row["type_code"],
        "source": row["source"] or "domestic",
        "material": row["material"].kind if row["material"] else "",
        "redistilled": row["redistilled"],
        "reduced_rate": not row["full_rate"],
        "distilled_at": None if proof is None else tenths(proof),
        "producer": row["producer"],
        "state": row["state"],
        **told_age(row, [row["vessel"]], look, field="rows"),
    }


def _material(code: str, row: dict[str, Any]) -> NewLot:
    material = row["material"]
    return NewLot(
        code, "material", material.unit, material.name,
        material=material.kind, producer=row["producer"], product=material.code,
    )  # fmt: skip


def _bottled(code: str, row: dict[str, Any], look: Look) -> NewLot:
    product = row["product"]
    if product is None:
        raise BadFact("Say which product these bottles are.")
    family = row["family"] or product.family
    class_code = class_of({**row, "family": family}) if _is_told(row) else class_for(family, 0)
    facts = {**_facts(row, look), "type_code": row["type_code"] or product.type_code}
    return NewLot(
        code, "bottled", "bottle", row["name"] or product.name, class_code=class_code,
        form="bottled", product=product.code, bottle_ml=product.bottle_ml,
        per_case=product.per_case, label_proof=tenths(product.label_proof), **facts,
    )  # fmt: skip


def _is_told(row: dict[str, Any]) -> bool:
    """Whether the distillation band is told; no form divides bottled goods by it."""
    return row["distilled_at"] is not None or bool(row["band"])


def standing(row: dict[str, Any], lot: Lot | NewLot) -> Leg:
    """The movement that puts a row's quantity where it stands."""
    to = Place(row["account"], lot.code, row["vessel"].code)
    wine, proof = row["wine_gallons"], row["proof_gallons"]
    amount, figures = 0, (to_hundredths(wine or 0), to_hundredths(proof or 0))
    if row["account"] == "materials":
        amount, figures = in_unit(row["quantity"], lot.unit), (0, 0)
    if row["account"] in BOTTLES:
        amount = int(row["bottles"])
        told = labelled(lot, amount)
        figures = (
            told[0] if wine is None else figures[0],
            told[1] if proof is None else figures[1],
        )
    if not (amount or any(figures)):
        raise BadFact("Give more than nothing.")
    return Leg(Place("opening", lot.code), to, "opening", amount, *figures)


def in_unit(text: str, unit: str) -> int:
    """A typed quantity of a material in the book's integer. Raises BadFact."""
    try:
        return amount_to_book(units.parse(text, UNIT_KINDS[unit]), unit)
    except units.UnitError as error:
        raise BadFact(str(error)) from error
