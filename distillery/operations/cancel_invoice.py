"""Cancel an invoice whose goods never left: the removal is taken back, its number is voided.

27 CFR 19.611 makes a document one withdrawal; a number that stands for none is kept as void
(common practice, no source).
"""

from datetime import datetime
from typing import Any

from distillery.forms import RecordForm
from distillery.forms.removal_field import RemovalField
from distillery.operations.base import Fields, Operation
from distillery.removals import gone_by, is_marked_not_gone
from distillery.standing_in_the_way import refuse_if_used
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.models import Entry
from ledger.plan import Plan, Question
from ledger.reversing import reversal

WAY_ROUND = "Goods that left and came back are recorded with “return to bond”."


class CancelInvoiceForm(RecordForm):
    """The document; the record's own ``reason`` says why."""

    document = RemovalField(label="Invoice or shipping document, number")

    def clean(self) -> dict[str, Any]:
        """The removal is also what this act reverses."""
        data: dict[str, Any] = super().clean() or {}
        data["entry"] = data.get("document")
        return data


class CancelInvoice(Operation):
    """It counts at the moment of the removal, so that the same month's tax is mended."""

    slug = "cancel-invoice"
    title = "Cancel an invoice"
    group = "Remove"
    form = CancelInvoiceForm
    is_signed = True
    needs_reason = True

    def plan(self, fields: Fields, look: Look) -> Plan:
        """The removal's legs with negative quantities, under its own number."""
        removal: Entry = fields["document"]
        gone = gone_by(look.premises, removal.document, removal=removal)
        if gone:
            raise BadFact(
                f"Goods of {removal.document} are recorded as gone by entry {gone.number}. Take "
                f"that back first if they never left. {WAY_ROUND}",
                field="document",
            )
        plan = reversal(removal, look)
        refuse_if_used(plan, removal, look, way_round=WAY_ROUND)
        return Plan(
            plan.legs, document=removal.document,
            lines=(f"Document {removal.document} is void; its number is kept.", *plan.lines),
            questions=_asked(removal),
        )  # fmt: skip

    def happened_at(self, fields: Fields) -> datetime:
        """When the removal happened."""
        removal: Entry = fields["document"]
        return removal.happened_at

    def names(self, fields: Fields) -> dict[str, Entry]:
        """The removal taken back."""
        return {"reverses": fields["document"]}


def _asked(removal: Entry) -> tuple[Question, ...]:
    if is_marked_not_gone(removal):
        return ()
    text = (
        f"The removal on {removal.document} does not say that its goods stayed. Did they never "
        "leave the plant?"
    )
    return (Question("never-left", text),)
