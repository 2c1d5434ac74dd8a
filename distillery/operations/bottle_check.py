"""Check bottles during a bottling: fill and alcohol (27 CFR 19.356, 19.600)."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottle_test_form import TestedForm
from distillery.bottling import run_at
from distillery.fill_picture import picture_words, pictured
from distillery.forms import QuantityField, TextField
from distillery.models import BottleCheck, BottlingRun
from distillery.operations.base import Fields, Operation
from distillery.operations.calibrate_filler import keep_check, refuse_future, tested_for
from distillery.tested_bottles import TANKS, Tested, abv, slip_of, target_slip
from ledger.looking import Look
from ledger.models import Premises
from ledger.plan import Plan, Question


class BottleCheckForm(TestedForm):
    """What was tested, and what was done about a fault found."""

    tested = QuantityField("count", required=False, above=1, label="Bottles tested, if not all")
    corrective_action = TextField(max_length=400, label="Stopped and corrected: what was done")

    def clean(self) -> dict[str, Any]:
        """A fill or a strength was found."""
        data = super().clean() or {}
        if self.errors:
            return data
        if not data["fills"] and data["proof"] is None and data["reading"] is None:
            raise ValidationError({"fills": "Give a fill or the alcohol found."})
        data["tested"] = int(data["tested"] or len(data["fills"]) or 1)
        if data["tested"] < len(data["fills"]):
            raise ValidationError({"tested": "More bottles stand below than were tested."})
        return data


class CheckBottles(Operation):
    """A reading, not an entry. Out of tolerance is kept like the rest, with what was done."""

    slug = "bottle-check"
    title = "Check bottles"
    group = "Process and bottle"
    form = BottleCheckForm
    hazards = ("glass",)
    kinds = TANKS
    accounts = ("processing",)
    vessel_field = "vessel"
    is_book = False

    def plan(self, fields: Fields, look: Look) -> Plan:
        """Nothing moves; a fault without its correction is asked about."""
        refuse_future(fields)
        run = run_at(fields["vessel"], fields["at"])
        found = tested_for(fields, run.product)
        now = pictured(run, with_fills=found.fills, at=fields["at"])
        return Plan(
            document=run.serial, lines=(verdict(found, run), *picture_words(now)),
            slips=(slip_of(found), target_slip(found, run.product.tare_g)),
            questions=correction_question(found, fields["corrective_action"]),
        )  # fmt: skip

    def keep_reading(
        self, fields: Fields, *, premises: Premises, by: str, key: str, form: str
    ) -> tuple[BottleCheck, bool]:
        """The check and whether it is new. Raises KeyConflict for a key used otherwise."""
        run = run_at(fields["vessel"], fields["at"])
        found = tested_for(fields, run.product)
        values = {
            "kind": BottleCheck.Kind.CHECK, "run": run, "tested": fields["tested"],
            "is_within": found.is_within, "action": fields["corrective_action"],
        }  # fmt: skip
        return keep_check(fields, found, values, premises=premises, by=by, key=key, form=form)


def verdict(found: Tested, run: BottlingRun) -> str:
    """Within or out, and what is out."""
    if found.is_within:
        return f"Bottling {run.serial}: within tolerance (27 CFR 19.356)."
    told = []
    if found.outside:
        told.append(f"{found.outside:,} of {len(found.fills):,} fills out")
    if found.is_proof_off and found.found_proof is not None:
        label = abv(found.label_proof)
        told.append(f"{abv(found.found_proof)} % alcohol was found and the label says {label} %")
    return f"Bottling {run.serial}: {'; '.join(told)} (27 CFR 19.356)."


def correction_question(found: Tested, action: str) -> tuple[Question, ...]:
    """Asks for the corrective action where something is out of tolerance (27 CFR 19.600)."""
    if found.is_within or action:
        return ()
    text = (
        "Something is out of tolerance and no correction is noted (27 CFR 19.356, 19.600). "
        "Keep the check without one?"
    )
    return (Question("no-corrective-action", text),)
