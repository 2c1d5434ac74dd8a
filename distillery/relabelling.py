"""What relabelling and reclosing in store have in common (27 CFR 19.363, 19.604).

Taxpaid bottles that come back for it have an act of their own (27 CFR 19.453).
"""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.cased import count_in, more_question, standing
from distillery.forms import (
    LotField,
    QuantityField,
    RecordForm,
    RowsField,
    TextField,
    VesselField,
)
from distillery.operations.base import Fields
from distillery.supplies import SupplyPart
from ledger.looking import Held, Look
from ledger.models import Lot
from ledger.plan import Question

LAST = ("consent", "materials", "at", "note")
FILLED_HERE = ("bottle", "relabel", "opening-balance")


class HandledForm(RecordForm):
    """Which bottles: identity of the spirits, case numbers, count, whose consent (19.604)."""

    vessel = VesselField("store", label="Store")
    lot = LotField("bottled", label="Lot")
    cases = QuantityField("count", required=False, label="Cases")
    bottles = QuantityField("count", required=False, label="Single bottles")
    case_serials = TextField(required=True, max_length=80, label="Case numbers, or “uncased”")
    consent = TextField(
        max_length=200, label="Written consent of the original bottler, if another plant"
    )
    materials = RowsField(SupplyPart, required=False, label="Labels, closures, sleeves used")

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        first = [name for name in self.fields if name not in LAST]
        self.order_fields([*first, *LAST])

    def clean(self) -> dict[str, Any]:
        """Whole numbers, and at least one bottle."""
        data = super().clean() or {}
        for name in ("cases", "bottles"):
            data[name] = int(data.get(name) or 0)
        if not self.errors and not (data["cases"] or data["bottles"]):
            raise ValidationError({"cases": "Give cases or bottles, like 3."})
        return data


def handled(fields: Fields, look: Look) -> tuple[Held, int, tuple[Question, ...]]:
    """(what the store holds of the lot, bottles handled, what is asked about them)."""
    held = standing(look, fields, fields["vessel"])
    bottles = count_in(fields)
    return (
        held,
        bottles,
        (*more_question(held, bottles), *consent_question(fields["lot"], fields["consent"])),
    )


def consent_question(lot: Lot, consent: str) -> tuple[Question, ...]:
    """Asks for the original bottler's consent to bottles that were filled elsewhere."""
    if consent or lot.opened_by.operation in FILLED_HERE:
        return ()
    text = (
        f"Lot {lot.code} was not bottled here. The original bottler's written consent belongs to "
        "the record (27 CFR 19.363, 19.604). Keep it without?"
    )
    return (Question("no-consent", text),)
