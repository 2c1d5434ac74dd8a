"""Taking an entry back whole: its own movements again, with the sign turned."""

from datetime import datetime

from distillery.forms.named_entry import NamedEntryForm
from distillery.operations.base import Fields, Operation
from distillery.standing_in_the_way import refuse_if_used
from ledger.looking import Look
from ledger.models import Entry
from ledger.plan import Plan
from ledger.reversing import reversal

WAY_ROUND = (
    "Take them back together, newest first, from the page of the entry (“Take back with what "
    "stands on it”), or record “correct”, which mends the figure alone."
)


class ReverseForm(NamedEntryForm):
    """The entry to take back; the record's own ``reason`` says why."""


class Reverse(Operation):
    """It counts at the moment of the entry it takes back, so that the same month is mended."""

    slug = "reverse"
    title = "Take an entry back"
    group = "Count and correct"
    form = ReverseForm
    is_signed = True
    needs_reason = True

    def plan(self, fields: Fields, look: Look) -> Plan:
        """The entry's legs with negative quantities; refused while later entries used them."""
        plan = reversal(fields["entry"], look)
        refuse_if_used(plan, fields["entry"], look, way_round=WAY_ROUND)
        return plan

    def happened_at(self, fields: Fields) -> datetime:
        """When the entry happened."""
        entry: Entry = fields["entry"]
        return entry.happened_at

    def names(self, fields: Fields) -> dict[str, Entry]:
        """The entry taken back."""
        return {"reverses": fields["entry"]}
