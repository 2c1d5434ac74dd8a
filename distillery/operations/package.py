"""Fill kegs, drums and other packages in processing (27 CFR 19.488, 19.490, 19.599)."""

from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottling import class_of_product
from distillery.drawing import more_question
from distillery.forms import (
    ChoiceField,
    GaugeField,
    ProductField,
    QuantityField,
    RecordForm,
    RowsField,
    TextField,
    VesselField,
    YesField,
)
from distillery.formulas import listed_question
from distillery.gauged_rows import GaugedPart, GaugedRowsField, gauge_of
from distillery.operations.base import Fields, Operation
from distillery.operations.blend import TANKS
from distillery.package_serials import keep, marks, next_serials, told
from distillery.plans import (
    found_by_gauge,
    gallons,
    loss_or_gain,
    lot_like,
    one_of,
    pg,
    place,
    slip,
    tenths,
    wg,
)
from distillery.supplies import SupplyPart, supply_legs
from ledger.classes import CLASSES
from ledger.errors import BadFact
from ledger.gauging import half_up
from ledger.looking import Held, Look
from ledger.models import Entry
from ledger.plan import Leg, NewLot, Place, Plan, Question, Slip
from ledger.quantities import to_decimal, to_hundredths

KINDS = [
    ("keg", "kegs"), ("drum", "drums"), ("tote", "totes"), ("barrel", "barrels"),
    ("can", "cans or jugs"), ("other", "other packages"),
]  # fmt: skip
NEEDS_FORMULA = ("gin", "other")  # 27 CFR 5.193
ML_A_GALLON = Decimal("3785.411784")  # exact: 231 cubic inches of 25.4 mm


class PackagePart(GaugedPart):
    """Like packages: how many, of what kind, and the gauge or the gallons of one."""

    field_order = ("number", "kind", "each")
    purpose = "package"
    number = QuantityField("count", above=1, label="How many alike")
    kind = ChoiceField(choices=KINDS, label="What")
    each = QuantityField(
        "volume", required=False, above=1, label="Gallons at 60 °F in one, if not weighed"
    )


class PackageForm(RecordForm):
    """The tank, what was filled from it, and what is left."""

    vessel = VesselField(*TANKS, label="From tank")
    product = ProductField(required=False, label="Product, empty for the kind in the tank")
    gauge = GaugeField(purpose="bottling", required=False, label="Tank gauge before filling")
    packages = GaugedRowsField(PackagePart, label="Filled")
    store = VesselField("store", label="Store")
    first = QuantityField(
        "count", required=False, above=1, label="Number of the first package, empty for the next"
    )
    formula = TextField(max_length=40, label="Formula number, empty for the batch's")
    materials = RowsField(SupplyPart, required=False, label="Empty packages and closures used")
    empties = YesField(label="The tank is empty afterwards")
    after = GaugeField(required=False, label="Gauge of the tank after, if not empty")

    def clean(self) -> dict[str, Any]:
        """Each row has its quantity; the tank is empty or gauged."""
        data = super().clean() or {}
        if self.errors:
            return data
        for row in data["packages"]:
            if row["gauged"].is_gauged == (row["each"] is not None):
                raise ValidationError(
                    {"packages": "Gauge one package of each row, or give the gallons in one."}
                )
        if data["empties"] and data["after"]:
            raise ValidationError({"after": "The tank is empty, or gauged afterwards: not both."})
        return data


class Package(Operation):
    """Packages in bond count as finished goods: TTB F 5110.28 lines 9 and 28, column packaged."""

    slug = "package"
    title = "Fill packages"
    group = "Process and bottle"
    form = PackageForm
    hazards = ("ethanol_vapour", "lifting")
    kinds = TANKS
    accounts = ("processing",)
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """A lot a row of like packages, what they carry, and what the tank then lacks."""
        code = fields["vessel"].code
        held = one_of(look.in_account(code, "processing"), code, field="vessel")
        start = gallons(fields["gauge"]) if fields["gauge"] else _book(held)
        first = found_by_gauge(held, fields["gauge"], "reduce") if fields["gauge"] else ()
        legs: list[Leg] = [*first]
        lots: list[NewLot] = []
        slips: list[Slip] = []
        for index, row in enumerate(fields["packages"], 1):
            one, strength = _one(row, start)
            lot = _lot(fields, row, held, index=index, wine=one[0], proof=strength)
            lots.append(lot)
            legs += _filled(held, lot, fields["store"].code, one, int(row["number"]))
            if row["gauged"].is_gauged:
                slips.append(slip(row["gauged"].gauge("0.01"), f"One of {lot.name}"))
        legs += supply_legs(look, fields["materials"], code=lots[0].code, purpose="package")
        rest, more = _rest(fields, held, legs, start)
        serials = self._serials(fields, look)
        slips.append(
            marks(look, name=lots[0].name, serials=serials, proof=lots[0].label_proof or 0,
                  formula=lots[0].formula)
        )  # fmt: skip
        wine, proof = _sum(legs)
        gauged = [slip(fields[n], f"Tank {n}") for n in ("gauge", "after") if fields[n]]
        return Plan(
            (*legs, *rest), tuple(lots), document=told(serials), slips=(*gauged, *slips),
            lines=(f"{_count(fields):,} packages, {wg(wine)}, {pg(proof)}, {told(serials)}.",),
            questions=(
                *more_question({code: max(more, start[1] - held.proof_gallons)}),
                *_formula_question(fields, lots[0], look),
            ),
        )  # fmt: skip

    def _serials(self, fields: Fields, look: Look) -> tuple[int, int]:
        first = int(fields["first"]) if fields["first"] else None
        return next_serials(look.premises, _count(fields), first=first)

    def keep(self, entry: Entry, plan: Plan, fields: Fields) -> None:
        """The numbers of the packages, under the same lock that planned them."""
        keep(entry, self._serials(fields, Look(entry.premises, entry.happened_at)))


def _count(fields: Fields) -> int:
    return sum(int(row["number"]) for row in fields["packages"])


def _book(held: Held) -> tuple[int, int]:
    return held.wine_gallons, held.proof_gallons


def _one(row: dict[str, Any], tank: tuple[int, int]) -> tuple[tuple[int, int], int]:
    """((wine, proof gallons) of one package in hundredths, its proof in tenths)."""
    gauge = gauge_of(row)
    if gauge:
        return gallons(gauge), tenths(gauge.proof)
    if not tank[0]:
        raise BadFact("The book has no gallons in the tank to fill from.", field="vessel")
    wine = to_hundredths(row["each"])
    strength = Decimal(tank[1] * 1000) / tank[0]
    proof = to_hundredths(row["each"] * strength / 1000)
    return (wine, proof), int(strength.to_integral_value())


def _lot(
    fields: Fields, row: dict[str, Any], held: Held, *, index: int, wine: int, proof: int
) -> NewLot:
    product, bulk = fields["product"], held.lot
    code = "K-{n}" if index == 1 else f"K-{{n}}-{index}"
    facts: dict[str, Any] = {"name": bulk.name}
    if product:
        class_code, _ = class_of_product(product, bulk)
        facts = {
            "name": product.name, "class_code": class_code, "type_code": product.type_code,
            "product": product.code,
        }  # fmt: skip
    facts["name"] = f"{facts['name']}, {dict(KINDS)[row['kind']]}"[:80]
    return lot_like(
        bulk, code, stage="bottled", unit="each", form="packaged", label_proof=proof,
        bottle_ml=int(half_up(to_decimal(wine) * ML_A_GALLON, "1")), per_case=None,
        formula=fields["formula"] or bulk.formula or (product.formula_no if product else ""),
        **facts,
    )  # fmt: skip


def _filled(
    held: Held, lot: NewLot, store: str, one: tuple[int, int], count: int
) -> tuple[Leg, Leg]:
    to = Place("finished", lot.code, store)
    wine, proof = one[0] * count, one[1] * count
    return (
        Leg(place(held), to, "package", 0, wine, proof, proof=lot.label_proof),
        Leg(Place("glass", lot.code), to, "package", count),
    )


def _sum(legs: list[Leg]) -> tuple[int, int]:
    rows = [leg for leg in legs if leg.purpose == "package"]
    return sum(leg.wine_gallons for leg in rows), sum(leg.proof_gallons for leg in rows)


def _rest(
    fields: Fields, held: Held, legs: list[Leg], start: tuple[int, int]
) -> tuple[tuple[Leg, ...], int]:
    """The legs from what should be left to what is, and by how much the tank has more."""
    if not fields["empties"] and fields["after"] is None:
        return (), 0
    left = gallons(fields["after"]) if fields["after"] else (0, 0)
    wine, proof = (had + gone - was for had, gone, was in zip(left, _sum(legs), start, strict=True))
    return loss_or_gain(place(held), wine=wine, proof=proof, purpose="fill"), proof


def _formula_question(fields: Fields, lot: NewLot, look: Look) -> tuple[Question, ...]:
    """Asks where the mark of the package would need a formula number that nobody has told."""
    family = CLASSES[lot.class_code].family if lot.class_code else "other"
    if lot.formula or family not in NEEDS_FORMULA:
        return listed_question(look.premises, fields["formula"])
    text = f"{lot.name} has no formula number to mark (27 CFR 5.193, 19.488). Fill it all the same?"
    return (Question("no-formula", text),)
