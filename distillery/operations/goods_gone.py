"""Goods on which tax was determined leave the plant later than their document (27 CFR 19.464)."""

from typing import Any

from distillery.forms import RecordForm, TextField
from distillery.forms.removal_field import RemovalField
from distillery.operations.base import Fields, Operation
from distillery.removals import gone_by
from ledger.errors import BadFact
from ledger.looking import Look
from ledger.plan import Plan


class GoodsGoneForm(RecordForm):
    """Which document, how the goods went, and what was lost before."""

    document = RemovalField(is_waiting=True, label="Invoice or shipping document, number")
    conveyance = TextField(label="Conveyance")
    signed_for = TextField(max_length=120, label="Signed for by")
    lost = TextField(label="Lost after the tax was determined and before they went")
    claim = TextField(max_length=60, label="Claim for that, number")

    def clean(self) -> dict[str, Any]:
        """They go after their removal was recorded."""
        data: dict[str, Any] = super().clean() or {}
        if not self.errors and data["at"] < data["document"].happened_at:
            self.add_error("at", "They cannot go before the tax on them was determined.")
        return data


class GoodsGone(Operation):
    """Nothing moves in the book: it left bond with its document."""

    slug = "goods-gone"
    title = "Goods gone"
    group = "Remove"
    form = GoodsGoneForm
    hazards = ("lifting",)

    def plan(self, fields: Fields, look: Look) -> Plan:
        """An entry without movements, under the same document."""
        removal = fields["document"]
        gone = gone_by(look.premises, removal.document, removal=removal)
        if gone:
            raise BadFact(
                f"Goods of {removal.document} are recorded as gone by entry {gone.number}.",
                field="document",
            )
        lines = [f"Goods of {removal.document}, removal entry {removal.number}, are gone."]
        if fields["lost"]:
            lines.append(
                f"Lost before they went: {fields['lost']}. The tax on that may be claimed back "
                "(27 CFR 19.464); the figure of the month stays."
            )
        return Plan(document=removal.document, lines=tuple(lines))
