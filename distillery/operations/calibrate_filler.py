"""Calibrate the filler before the run: test fills, their mean, what was adjusted."""

from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from distillery.bottle_test_form import TestedForm
from distillery.bottling import runs_in
from distillery.forms import ProductField, TextField
from distillery.models import BottleCheck, BottlingRun, Product
from distillery.operations.base import Fields, Operation
from distillery.tested_bottles import (
    TANKS,
    Tested,
    keep_fills,
    mean_ml,
    slip_of,
    target_slip,
    tested,
)
from ledger.errors import BadFact, FutureDate, KeyConflict
from ledger.looking import Look
from ledger.models import Premises, Vessel
from ledger.plan import Plan
from ledger.posting import AHEAD

FUTURE = "That lies in the future. Only what was tested can be noted."


class CalibrateFillerForm(TestedForm):
    """Test fills of a product's bottle, and the adjustment they led to."""

    product = ProductField(required=False, label="Product, if no bottling is open in the tank")
    adjustment = TextField(max_length=400, label="What was adjusted")

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.order_fields(["vessel", "product"])

    def clean(self) -> dict[str, Any]:
        """At least one bottle was filled to see."""
        data = super().clean() or {}
        if not self.errors and not data["fills"]:
            raise ValidationError({"fills": "Fill in at least one row."})
        return data


class CalibrateFiller(Operation):
    """A reading, not an entry: the bottles go back into the tank."""

    slug = "calibrate-filler"
    title = "Calibrate the filler"
    group = "Process and bottle"
    form = CalibrateFillerForm
    hazards = ("glass",)
    kinds = TANKS
    accounts = ("processing",)
    vessel_field = "vessel"
    is_book = False

    def plan(self, fields: Fields, look: Look) -> Plan:
        """Nothing moves; the mean against the size."""
        refuse_future(fields)
        product, _ = calibrated_for(fields)
        found = tested_for(fields, product)
        mean = mean_ml(found.fills)
        told = (
            f"{len(found.fills):,} test fills of {product.bottle_ml} mL: mean {mean} mL, "
            f"{mean - product.bottle_ml:+.2f} mL from full.",
        )
        return Plan(lines=told, slips=(slip_of(found), target_slip(found, product.tare_g)))

    def keep_reading(
        self, fields: Fields, *, premises: Premises, by: str, key: str, form: str
    ) -> tuple[BottleCheck, bool]:
        """The calibration and whether it is new. Raises KeyConflict for a key used otherwise."""
        product, run = calibrated_for(fields)
        values = {
            "kind": BottleCheck.Kind.CALIBRATION, "run": run, "action": fields["adjustment"],
        }  # fmt: skip
        return keep_check(
            fields, tested_for(fields, product), values, premises=premises, by=by, key=key,
            form=form,
        )  # fmt: skip


def refuse_future(fields: Fields) -> None:
    """A test that is still to come is none."""
    if fields["at"] > timezone.now() + AHEAD:
        raise FutureDate(FUTURE, field="at")


def open_then(vessel: Vessel, at: Any) -> BottlingRun | None:
    """The bottling that was open in *vessel* at a moment, None when none was."""
    for run in runs_in(vessel):
        closed = run.closed_by
        if run.opened_by.happened_at <= at and (closed is None or at <= closed.happened_at):
            return run
    return None


def calibrated_for(fields: Fields) -> tuple[Product, BottlingRun | None]:
    """The product of the open bottling, else the one named. Raises BadFact without either."""
    run = open_then(fields["vessel"], fields["at"])
    product = fields["product"] or (run.product if run else None)
    if product is None:
        raise BadFact(
            f"No bottling was open in {fields['vessel'].code} then. Name the product.",
            field="product",
        )
    return product, run


def tested_for(fields: Fields, product: Product) -> Tested:
    """What was found, by the product's size, label and empty bottle."""
    return tested(
        fields, bottle_ml=product.bottle_ml, label_proof=Decimal(product.label_proof),
        tare=product.tare_g,
    )  # fmt: skip


@transaction.atomic
def keep_check(
    fields: Fields,
    found: Tested,
    more: dict[str, Any],
    *,
    premises: Premises,
    by: str,
    key: str,
    form: str,
) -> tuple[BottleCheck, bool]:
    """Keep a test once under its key, with its bottles. Raises KeyConflict."""
    values = {
        "vessel": fields["vessel"], "at": fields["at"], "by": by, "line": fields["line"],
        "bottle_ml": found.bottle_ml, "label_proof": found.label_proof,
        "found_proof": found.found_proof, "tested": len(found.bottles), "note": fields["note"],
        "form": form, **more,
    }  # fmt: skip
    row, is_new = BottleCheck.objects.get_or_create(premises=premises, key=key, defaults=values)
    if not is_new and row.form != form:
        raise KeyConflict(
            f"The key “{key}” was used for another test at {row.vessel}. "
            "Give this record a key of its own."
        )
    if is_new:
        keep_fills(row, found.bottles)
    return row, is_new
