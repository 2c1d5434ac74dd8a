"""Taxpaid bottles come back to be relabelled or reclosed, and go again (27 CFR 19.453)."""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottled_rows import told_count
from distillery.forms import (
    ChoiceField,
    QuantityField,
    RecordForm,
    TextField,
    WhenField,
)
from distillery.forms.past_lot_field import PastLotField
from distillery.operations.base import Fields, Operation
from distillery.relabelling import consent_question
from ledger.looking import Look
from ledger.plan import Plan, Question

WORK = [("relabel", "relabeling"), ("reclose", "reclosing")]


class ReturnForRelabelForm(RecordForm):
    """Who brings which bottles, what is done to them, and how they go again (27 CFR 19.604)."""

    returned_by = TextField(required=True, max_length=120, label="Returned by")
    returned_by_address = TextField(label="Their address")
    document = TextField(required=True, max_length=60, label="Return paper, number")
    work = ChoiceField(choices=WORK, label="Returned for")
    lot = PastLotField("bottled", required=False, label="Lot, if it is known")
    product = TextField(max_length=80, label="What it is, if the lot is not known")
    cases = QuantityField("count", required=False, label="Cases")
    bottles = QuantityField("count", required=False, label="Bottles")
    case_serials = TextField(label="Case serials, or “uncased”")
    label_approval = TextField(max_length=40, label="Label approval of the new label")
    consent = TextField(label="Written consent of the original bottler, if another plant")
    done_at = WhenField(required=False, label="Done")
    goes_to = TextField(max_length=120, label="Goes again to")
    goes_on = TextField(max_length=60, label="On document, number")

    def clean(self) -> dict[str, Any]:
        """Something was brought, and nothing is done before it came."""
        data = super().clean() or {}
        if self.errors:
            return data
        if not data["lot"] and not data["product"]:
            raise ValidationError({"product": "Name the lot, or say what it is."})
        if not data["cases"] and not data["bottles"]:
            raise ValidationError({"cases": "Give cases or bottles, like 3."})
        if data["done_at"] and data["done_at"] < data["at"]:
            raise ValidationError({"done_at": "It is done after the bottles came."})
        return data


class ReturnForRelabel(Operation):
    """No entry of proof gallons, no tax, no credit: an act with a record and no movement."""

    slug = "return-for-relabel"
    title = "Return for relabeling"
    group = "Remove"
    form = ReturnForRelabelForm
    hazards = ("lifting", "glass")

    def plan(self, fields: Fields, look: Look) -> Plan:
        """Nothing moves in the book."""
        lot = fields["lot"]
        cases, bottles = int(fields["cases"] or 0), int(fields["bottles"] or 0)
        if lot:
            told = f"{told_count(lot, cases * (lot.per_case or 0) + bottles)} of {lot.name}"
        else:
            told = f"{cases:,} cases and {bottles:,} bottles of {fields['product']}"
        lines = (
            f"{told} from {fields['returned_by']} for {dict(WORK)[fields['work']]}.",
            "No entry of proof gallons, no tax and no credit (27 CFR 19.453).",
        )
        return Plan(document=fields["document"], lines=lines, questions=_asked(fields))


def _asked(fields: Fields) -> tuple[Question, ...]:
    asked = consent_question(fields["lot"], fields["consent"]) if fields["lot"] else ()
    if fields["work"] == "relabel" and not fields["label_approval"]:
        text = "No label approval is named for the new label (27 CFR 19.604). Keep it without?"
        asked = (*asked, Question("no-approval", text))
    zone = fields["at"].tzinfo
    done = fields["done_at"]
    if done is None or done.astimezone(zone).date() != fields["at"].date():
        text = (
            "Bottles returned for this are worked on and go again at once (27 CFR 19.453), and "
            "nothing here says that they did the same day. Keep it?"
        )
        asked = (*asked, Question("not-at-once", text))
    return asked
