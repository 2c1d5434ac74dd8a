"""Put another label on bottles that stand in store (27 CFR 19.363, 19.604)."""

from decimal import Decimal

from distillery.bottled import carried
from distillery.cased import ACCOUNTS
from distillery.fill_tests import is_proof_within
from distillery.forms import CodeField, ProductField, TextField
from distillery.models import Product
from distillery.operations.base import Fields, Operation
from distillery.plans import lot_like, place
from distillery.relabelling import HandledForm, handled
from distillery.supplies import supply_legs, told
from ledger.classes import CLASSES
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Lot
from ledger.plan import Leg, NewLot, Place, Plan, Question, Slip


class RelabelForm(HandledForm):
    """Which bottles, and what their label says from now on."""

    product = ProductField(required=False, label="Product by the new label, empty for the same")
    label_approval = TextField(
        max_length=40, label="Label approval of the new label, empty for the product's"
    )
    new_lot = CodeField(label="Code of the relabelled lot, empty for the next number")
    why = TextField(max_length=200, label="Why")


class Relabel(Operation):
    """Under another product's label the bottles are another lot; else only the record changes."""

    slug = "relabel"
    title = "Relabel bottles"
    group = "Process and bottle"
    form = RelabelForm
    hazards = ("glass",)
    kinds = ("store",)
    accounts = ACCOUNTS
    vessel_field = "vessel"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """The bottles into a lot of the new product, and the labels used."""
        held, bottles, asked = handled(fields, look)
        product = fields["product"]
        is_other = product is not None and product.code != held.lot.product
        code = (fields["new_lot"] or "K-{n}") if is_other else ""
        legs: tuple[Leg, ...] = ()
        lots: tuple[NewLot, ...] = ()
        if code:
            lots = (relabelled(held.lot, code, product),)
            to = Place(held.account, code, held.vessel.code)
            legs = (Leg(place(held), to, "relabel", bottles, *carried(held, bottles)),)
        named = product.name if product else held.lot.name
        approval = fields["label_approval"] or (product.label_approval if product else "")
        line = (
            f"{bottles:,} bottles of lot {held.lot.code}, {fields['case_serials']}, bear the label "
            f"of {named}, approval {approval or 'not on file'}."
        )
        slips = (Slip("Labels", told(fields["materials"])),) if fields["materials"] else ()
        return Plan(
            (*legs, *supply_legs(look, fields["materials"], code=code)), lots,
            document=fields["case_serials"][:60], lines=(line,), slips=slips,
            questions=(*asked, *label_questions(held.lot, product, approval)),
        )  # fmt: skip


def relabelled(lot: Lot, code: str, product: Product) -> NewLot:
    """The lot of *product* made of bottles of *lot*. Raises BadFact for another size of bottle."""
    if product.bottle_ml != lot.bottle_ml:
        raise BadFact(
            f"{product} comes in another bottle than lot {lot.code} ({lot.bottle_ml} mL). Another "
            "bottle is a bottling: dump the cases for rework.",
            field="product",
        )
    return lot_like(
        lot, code, name=product.name, product=product.code, per_case=product.per_case,
        label_proof=int(product.label_proof * 10),
    )  # fmt: skip


def label_questions(lot: Lot, product: Product | None, approval: str) -> tuple[Question, ...]:
    """Asks for the approval of the new label, and where kind or strength do not fit it."""
    asked = []
    if not approval:
        text = "The new label has no approval on file (27 CFR 5.21, 19.604). Keep it without?"
        asked.append(Question("no-label-approval", text))
    if product is None:
        return tuple(asked)
    told_proof = Decimal(lot.label_proof or 0) / 10
    if not is_proof_within(told_proof, Decimal(product.label_proof)):
        text = (
            f"Lot {lot.code} was bottled at {told_proof:f} proof and the new label says "
            f"{product.label_proof} (27 CFR 5.65(c)). Keep it?"
        )
        asked.append(Question("proof-off-label", text))
    kind = lot.designation.class_code
    if kind and CLASSES[kind].family != product.family:
        text = (
            f"Lot {lot.code} is {CLASSES[kind].title} and the new label says {product.family}. "
            "The book keeps the class until it is mended by a reclass. Keep it?"
        )
        asked.append(Question("class-differs", text))
    return tuple(asked)
